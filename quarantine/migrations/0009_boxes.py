"""Boxes as they were opened, labels of lots, protocols of acclimation."""

import django.contrib.postgres.fields
import django.db.models.deletion
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('facility', '0010_photos'),
        ('quarantine', '0008_health'),
        ('tanks', '0007_tested_share'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='LotLabel',
            fields=[
                ('code', models.CharField(max_length=7, primary_key=True, serialize=False)),
                ('made_at', models.DateTimeField()),
                ('retired_at', models.DateTimeField(blank=True, null=True)),
                ('lot', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='labels', to='quarantine.lot')),
            ],
        ),
        migrations.CreateModel(
            name='Protocol',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('name', models.CharField(max_length=80)),
                ('edition', models.CharField(max_length=20)),
                ('steps', models.CharField(max_length=2000)),
                ('opened_at', models.DateTimeField()),
                ('retired_at', models.DateTimeField(blank=True, null=True)),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='protocols', to='facility.site')),
            ],
        ),
        migrations.CreateModel(
            name='Box',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('happened_at', models.DateTimeField()),
                ('recorded_at', models.DateTimeField()),
                ('reason', models.CharField(blank=True, max_length=300)),
                ('withdrawn', models.BooleanField(default=False)),
                ('number', models.CharField(max_length=20)),
                ('bag', models.CharField(blank=True, max_length=20)),
                ('invoiced', models.PositiveIntegerField()),
                ('alive', models.PositiveIntegerField()),
                ('dead_on_arrival', models.PositiveIntegerField()),
                ('weak', models.PositiveIntegerField()),
                ('sample', models.JSONField(default=list)),
                ('photos', django.contrib.postgres.fields.ArrayField(base_field=models.UUIDField(), default=list, size=None)),
                ('note', models.CharField(blank=True, max_length=300)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('consignment', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='boxes', to='quarantine.consignment')),
                ('corrects', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='correction', to='quarantine.box')),
                ('lot', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='boxes', to='quarantine.lot')),
                ('species', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='boxes', to='quarantine.species')),
                ('vessel', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='boxes', to='tanks.vessel')),
                ('protocol', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='boxes', to='quarantine.protocol')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.AddConstraint(
            model_name='protocol',
            constraint=models.UniqueConstraint(fields=('site', 'name', 'edition'), name='quarantine_protocol_edition'),
        ),
        migrations.AddIndex(
            model_name='box',
            index=models.Index(fields=['consignment', 'happened_at'], name='quarantine_box_opened'),
        ),
        migrations.AddConstraint(
            model_name='box',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('corrects', None), ('reason', ''), ('withdrawn', False)), models.Q(('corrects__isnull', False), models.Q(('reason', ''), _negated=True)), _connector='OR'), name='quarantine_box_correction_has_reason'),
        ),
        migrations.AddConstraint(
            model_name='box',
            constraint=models.CheckConstraint(condition=models.Q(('weak__lte', models.F('alive'))), name='quarantine_box_weak_are_alive'),
        ),
        migrations.AddConstraint(
            model_name='box',
            constraint=models.CheckConstraint(condition=models.Q(('alive', 0), ('vessel__isnull', False), _connector='OR'), name='quarantine_box_alive_in_a_vessel'),
        ),
        migrations.AddConstraint(
            model_name='box',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('alive', 0), ('dead_on_arrival', 0)), ('lot__isnull', False), _connector='OR'), name='quarantine_box_animals_in_a_lot'),
        ),
        migrations.AddConstraint(
            model_name='box',
            constraint=models.CheckConstraint(condition=models.Q(('number', ''), _negated=True), name='quarantine_box_number'),
        ),
        migrations.AddConstraint(
            model_name='box',
            constraint=models.UniqueConstraint(condition=models.Q(('corrects', None)), fields=('consignment', 'number', 'bag'), name='quarantine_box_once'),
        ),
        migrations.RunSQL(
            "CREATE TRIGGER penstock_keeps BEFORE UPDATE OR DELETE OR TRUNCATE "
            "ON quarantine_box "
            "FOR EACH STATEMENT EXECUTE FUNCTION penstock_append_only();",
            "DROP TRIGGER penstock_keeps ON quarantine_box;",
        ),
        *(
            migrations.RunSQL(
                f"CREATE TRIGGER penstock_keeps BEFORE DELETE OR TRUNCATE ON {table} "
                "FOR EACH STATEMENT EXECUTE FUNCTION penstock_append_only();",
                f"DROP TRIGGER penstock_keeps ON {table};",
            )
            for table in ("quarantine_lotlabel", "quarantine_protocol")
        ),
    ]
