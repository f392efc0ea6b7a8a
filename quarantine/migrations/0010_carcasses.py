"""What became of carcasses."""

import django.db.models.deletion
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('quarantine', '0009_boxes'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='CarcassFate',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('happened_at', models.DateTimeField()),
                ('recorded_at', models.DateTimeField()),
                ('reason', models.CharField(blank=True, max_length=300)),
                ('withdrawn', models.BooleanField(default=False)),
                ('carcass', models.CharField(choices=[('NECROPSY', 'Waits for necropsy, not cooled'), ('COOLED', 'Cooled for necropsy'), ('CLAIM', 'Kept for a claim'), ('FROZEN', 'Frozen'), ('FIXED', 'Fixed in formalin'), ('DISPOSED', 'Disposed of by local rules'), ('NOT_FOUND', 'No carcass')], max_length=10)),
                ('note', models.CharField(blank=True, max_length=200)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('corrects', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='correction', to='quarantine.carcassfate')),
                ('death', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='fates', to='quarantine.death')),
            ],
            options={
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('corrects', None), ('reason', ''), ('withdrawn', False)), models.Q(('corrects__isnull', False), models.Q(('reason', ''), _negated=True)), _connector='OR'), name='quarantine_carcassfate_correction_has_reason')],
            },
        ),
        migrations.RunSQL(
            "CREATE TRIGGER penstock_keeps BEFORE UPDATE OR DELETE OR TRUNCATE "
            "ON quarantine_carcassfate "
            "FOR EACH STATEMENT EXECUTE FUNCTION penstock_append_only();",
            "DROP TRIGGER penstock_keeps ON quarantine_carcassfate;",
        ),
    ]
