"""Pictures people took, kept byte for byte."""

import django.db.models.deletion
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('facility', '0009_call_policies'),
    ]

    operations = [
        migrations.CreateModel(
            name='Photo',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('happened_at', models.DateTimeField()),
                ('recorded_at', models.DateTimeField()),
                ('reason', models.CharField(blank=True, max_length=300)),
                ('withdrawn', models.BooleanField(default=False)),
                ('about', models.CharField(max_length=120)),
                ('jpeg', models.BinaryField(max_length=4000000)),
                ('sha256', models.CharField(max_length=64)),
                ('width_px', models.PositiveIntegerField()),
                ('height_px', models.PositiveIntegerField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('corrects', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='correction', to='facility.photo')),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='photos', to='facility.site')),
            ],
            options={
                'abstract': False,
                'indexes': [models.Index(fields=['about', '-happened_at'], name='facility_photo_about')],
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('corrects', None), ('reason', ''), ('withdrawn', False)), models.Q(('corrects__isnull', False), models.Q(('reason', ''), _negated=True)), _connector='OR'), name='facility_photo_correction_has_reason'), models.CheckConstraint(condition=models.Q(('height_px__gt', 0), ('width_px__gt', 0)), name='facility_photo_size')],
            },
        ),
        migrations.RunSQL(
            "CREATE TRIGGER penstock_keeps BEFORE UPDATE OR DELETE OR TRUNCATE "
            "ON facility_photo "
            "FOR EACH STATEMENT EXECUTE FUNCTION penstock_append_only();",
            "DROP TRIGGER penstock_keeps ON facility_photo;",
        ),
    ]
