"""Addresses at which calendar programs read rounds; closed ones stay on record."""

import django.db.models.deletion
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('facility', '0006_alert_advice'),
    ]

    operations = [
        migrations.CreateModel(
            name='Calendar',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('token_sha256', models.CharField(max_length=64, unique=True)),
                ('opened_at', models.DateTimeField()),
                ('closed_at', models.DateTimeField(blank=True, null=True)),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='calendars', to=settings.AUTH_USER_MODEL)),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='calendars', to='facility.site')),
            ],
        ),
        migrations.RunSQL(
            "CREATE TRIGGER penstock_keeps BEFORE DELETE OR TRUNCATE ON facility_calendar "
            "FOR EACH STATEMENT EXECUTE FUNCTION penstock_append_only();",
            "DROP TRIGGER penstock_keeps ON facility_calendar;",
        ),
    ]
