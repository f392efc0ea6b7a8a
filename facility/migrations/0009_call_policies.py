"""A site's own times for calling people, each set once and followed by the next."""

import django.db.models.deletion
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('facility', '0008_notices'),
    ]

    operations = [
        migrations.CreateModel(
            name='CallPolicy',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('happened_at', models.DateTimeField()),
                ('recorded_at', models.DateTimeField()),
                ('reason', models.CharField(blank=True, max_length=300)),
                ('withdrawn', models.BooleanField(default=False)),
                ('answer_within_min', models.PositiveSmallIntegerField()),
                ('remind_every_min', models.PositiveSmallIntegerField()),
                ('calls_at_most', models.PositiveSmallIntegerField()),
                ('usual_shift_h', models.PositiveSmallIntegerField()),
                ('most_in_a_shift', models.PositiveSmallIntegerField()),
                ('source', models.CharField(max_length=200)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('corrects', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='correction', to='facility.callpolicy')),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='call_policies', to='facility.site')),
            ],
            options={
                'abstract': False,
                'indexes': [models.Index(fields=['site', '-happened_at'], name='facility_callpolicy_latest')],
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('corrects', None), ('reason', ''), ('withdrawn', False)), models.Q(('corrects__isnull', False), models.Q(('reason', ''), _negated=True)), _connector='OR'), name='facility_callpolicy_correction_has_reason'), models.CheckConstraint(condition=models.Q(('answer_within_min__gt', 0), ('calls_at_most__gt', 0), ('most_in_a_shift__gt', 0), ('remind_every_min__gt', 0), ('usual_shift_h__gt', 0)), name='facility_callpolicy_calls')],
            },
        ),
        migrations.RunSQL(
            "CREATE TRIGGER penstock_keeps BEFORE UPDATE OR DELETE OR TRUNCATE "
            "ON facility_callpolicy "
            "FOR EACH STATEMENT EXECUTE FUNCTION penstock_append_only();",
            "DROP TRIGGER penstock_keeps ON facility_callpolicy;",
        ),
    ]
