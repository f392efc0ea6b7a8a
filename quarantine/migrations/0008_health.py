"""What was observed, what died and what was found; when deaths call."""

import django.contrib.postgres.constraints
import django.contrib.postgres.fields
import django.contrib.postgres.fields.ranges
import django.db.models.deletion
import uuid
from django.conf import settings
from django.db import migrations, models


NEVER_CHANGED = (
    "quarantine_observation",
    "quarantine_death",
    "quarantine_necropsy",
    "quarantine_finding",
)
NEVER_DELETED = ("quarantine_healthrule",)


def forbid(events, tables):
    return [
        migrations.RunSQL(
            f"CREATE TRIGGER penstock_keeps BEFORE {events} ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION penstock_append_only();",
            f"DROP TRIGGER penstock_keeps ON {table};",
        )
        for table in tables
    ]


class Migration(migrations.Migration):

    dependencies = [
        ('facility', '0010_photos'),
        ('quarantine', '0007_stays'),
        ('tanks', '0007_tested_share'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='Death',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('happened_at', models.DateTimeField()),
                ('recorded_at', models.DateTimeField()),
                ('reason', models.CharField(blank=True, max_length=300)),
                ('withdrawn', models.BooleanField(default=False)),
                ('alive_before', models.PositiveIntegerField()),
                ('alive_known', models.CharField(choices=[('COUNTED', 'Counted'), ('ESTIMATED', 'Estimated'), ('BOOK', 'Carried forward in the book')], max_length=10)),
                ('cause', models.CharField(choices=[('UNKNOWN', 'Not known'), ('TRANSPORT', 'Transport'), ('WATER', 'Water out of range'), ('EQUIPMENT', 'Equipment failed'), ('DISEASE', 'Disease'), ('PARASITE', 'Parasites'), ('INJURY', 'Injury or handling'), ('AGGRESSION', 'Killed by others'), ('JUMPED', 'Jumped out'), ('TREATMENT', 'Treatment'), ('STARVED', 'Did not eat'), ('AGE', 'Age'), ('SPAWNING', 'Spawning'), ('WELFARE', 'Put down to end suffering'), ('TEST', 'Taken for a test'), ('OTHER', 'Other')], max_length=10)),
                ('is_explained', models.BooleanField()),
                ('carcass', models.CharField(choices=[('NECROPSY', 'Waits for necropsy, not cooled'), ('COOLED', 'Cooled for necropsy'), ('CLAIM', 'Kept for a claim'), ('FROZEN', 'Frozen'), ('FIXED', 'Fixed in formalin'), ('DISPOSED', 'Disposed of by local rules'), ('NOT_FOUND', 'No carcass')], max_length=10)),
                ('last_seen_alive_at', models.DateTimeField(blank=True, null=True)),
                ('signs', django.contrib.postgres.fields.ArrayField(base_field=models.CharField(max_length=10), blank=True, default=list, size=None)),
                ('note', models.CharField(blank=True, max_length=300)),
                ('photos', django.contrib.postgres.fields.ArrayField(base_field=models.UUIDField(), blank=True, default=list, size=None)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('change', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='death', to='quarantine.countchange')),
                ('corrects', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='correction', to='quarantine.death')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Finding',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('happened_at', models.DateTimeField()),
                ('recorded_at', models.DateTimeField()),
                ('reason', models.CharField(blank=True, max_length=300)),
                ('withdrawn', models.BooleanField(default=False)),
                ('agent', models.CharField(max_length=120)),
                ('method', models.CharField(max_length=120)),
                ('laboratory', models.CharField(blank=True, max_length=120)),
                ('sampled', models.PositiveIntegerField()),
                ('positive', models.PositiveIntegerField(blank=True, null=True)),
                ('result', models.CharField(choices=[('PENDING', 'Result awaited'), ('NEGATIVE', 'Not found in this sample'), ('POSITIVE', 'Found'), ('UNCLEAR', 'Unclear, to be repeated')], max_length=8)),
                ('is_notifiable', models.BooleanField(default=False)),
                ('note', models.CharField(blank=True, max_length=300)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('corrects', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='correction', to='quarantine.finding')),
                ('lot', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='findings', to='quarantine.lot')),
                ('vessel', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='findings', to='tanks.vessel')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='HealthRule',
            fields=[
                ('source', models.CharField(max_length=200)),
                ('edition', models.CharField(blank=True, max_length=80)),
                ('jurisdiction', models.CharField(blank=True, max_length=60)),
                ('verified_on', models.DateField(blank=True, null=True)),
                ('verified_by', models.CharField(blank=True, max_length=120)),
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('code', models.CharField(max_length=40)),
                ('title', models.CharField(max_length=160)),
                ('looks_for', models.CharField(choices=[('EXCESS', 'More deaths than the baseline explains'), ('SHARE', 'A share lost within some days'), ('UNEXPLAINED', 'Deaths nobody can explain'), ('DOUBLING', 'Deaths doubling day on day'), ('AFTER', 'A death soon after a dose, a water change or an arrival'), ('REFUSED', 'Feed refused meal after meal')], max_length=12)),
                ('level', models.PositiveSmallIntegerField()),
                ('level_elsewhere', models.PositiveSmallIntegerField()),
                ('figures', models.JSONField()),
                ('advice', models.CharField(max_length=300)),
                ('is_on', models.BooleanField()),
                ('period', django.contrib.postgres.fields.ranges.DateTimeRangeField()),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='health_rules', to='facility.site')),
            ],
        ),
        migrations.CreateModel(
            name='Necropsy',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('happened_at', models.DateTimeField()),
                ('recorded_at', models.DateTimeField()),
                ('reason', models.CharField(blank=True, max_length=300)),
                ('withdrawn', models.BooleanField(default=False)),
                ('examined', models.PositiveSmallIntegerField()),
                ('performed_by', models.CharField(max_length=120)),
                ('gross', models.CharField(max_length=600)),
                ('cause', models.CharField(choices=[('UNKNOWN', 'Not known'), ('TRANSPORT', 'Transport'), ('WATER', 'Water out of range'), ('EQUIPMENT', 'Equipment failed'), ('DISEASE', 'Disease'), ('PARASITE', 'Parasites'), ('INJURY', 'Injury or handling'), ('AGGRESSION', 'Killed by others'), ('JUMPED', 'Jumped out'), ('TREATMENT', 'Treatment'), ('STARVED', 'Did not eat'), ('AGE', 'Age'), ('SPAWNING', 'Spawning'), ('WELFARE', 'Put down to end suffering'), ('TEST', 'Taken for a test'), ('OTHER', 'Other')], max_length=10)),
                ('submitted', models.CharField(blank=True, max_length=200)),
                ('photos', django.contrib.postgres.fields.ArrayField(base_field=models.UUIDField(), blank=True, default=list, size=None)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('corrects', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='correction', to='quarantine.necropsy')),
                ('death', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='necropsies', to='quarantine.death')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Observation',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('happened_at', models.DateTimeField()),
                ('recorded_at', models.DateTimeField()),
                ('reason', models.CharField(blank=True, max_length=300)),
                ('withdrawn', models.BooleanField(default=False)),
                ('seen_count', models.PositiveIntegerField(blank=True, null=True)),
                ('feeding', models.CharField(choices=[('ATE', 'Ate'), ('LITTLE', 'Ate little or slowly'), ('REFUSED', 'Refused'), ('NOT_OFFERED', 'Nothing offered')], max_length=12)),
                ('respiration', models.CharField(choices=[('CALM', 'Calm'), ('FAST', 'Fast'), ('GASPING', 'Gasping, at the surface or the inlet'), ('NOT_JUDGED', 'Cannot be judged')], max_length=12)),
                ('signs', django.contrib.postgres.fields.ArrayField(base_field=models.CharField(max_length=10), blank=True, default=list, size=None)),
                ('note', models.CharField(blank=True, max_length=300)),
                ('photos', django.contrib.postgres.fields.ArrayField(base_field=models.UUIDField(), blank=True, default=list, size=None)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('corrects', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='correction', to='quarantine.observation')),
                ('lot', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='observations', to='quarantine.lot')),
                ('vessel', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='observations', to='tanks.vessel')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.AddConstraint(
            model_name='death',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('corrects', None), ('reason', ''), ('withdrawn', False)), models.Q(('corrects__isnull', False), models.Q(('reason', ''), _negated=True)), _connector='OR'), name='quarantine_death_correction_has_reason'),
        ),
        migrations.AddConstraint(
            model_name='death',
            constraint=models.CheckConstraint(condition=models.Q(('alive_before__gt', 0)), name='quarantine_death_of_how_many'),
        ),
        migrations.AddConstraint(
            model_name='death',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('cause', 'UNKNOWN'), ('is_explained', False)), models.Q(models.Q(('cause', 'UNKNOWN'), _negated=True), ('is_explained', True)), _connector='OR'), name='quarantine_death_explained'),
        ),
        migrations.AddConstraint(
            model_name='death',
            constraint=models.CheckConstraint(condition=models.Q(('last_seen_alive_at', None), ('last_seen_alive_at__lte', models.F('happened_at')), _connector='OR'), name='quarantine_death_after_life'),
        ),
        migrations.AddConstraint(
            model_name='death',
            constraint=models.CheckConstraint(condition=models.Q(('signs__contained_by', ['CLAMPED', 'HANGING', 'RUBBING', 'SPOTS', 'FLUFF', 'WOUND', 'FINS', 'EYES', 'BELLY', 'BALANCE', 'FAECES', 'COLOUR', 'CHASED', 'OTHER'])), name='quarantine_death_signs'),
        ),
        migrations.AddIndex(
            model_name='finding',
            index=models.Index(fields=['lot', '-happened_at'], name='quarantine_finding_lot'),
        ),
        migrations.AddIndex(
            model_name='finding',
            index=models.Index(fields=['vessel', '-happened_at'], name='quarantine_finding_vessel'),
        ),
        migrations.AddConstraint(
            model_name='finding',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('corrects', None), ('reason', ''), ('withdrawn', False)), models.Q(('corrects__isnull', False), models.Q(('reason', ''), _negated=True)), _connector='OR'), name='quarantine_finding_correction_has_reason'),
        ),
        migrations.AddConstraint(
            model_name='finding',
            constraint=models.CheckConstraint(condition=models.Q(('lot', None), ('vessel', None), _negated=True), name='quarantine_finding_of_something'),
        ),
        migrations.AddConstraint(
            model_name='finding',
            constraint=models.CheckConstraint(condition=models.Q(('sampled__gt', 0), models.Q(('agent', ''), _negated=True), models.Q(('method', ''), _negated=True)), name='quarantine_finding_is_said'),
        ),
        migrations.AddConstraint(
            model_name='finding',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('positive', None), ('result', 'PENDING')), ('result', 'UNCLEAR'), models.Q(('positive', 0), ('result', 'NEGATIVE')), models.Q(('positive__gt', 0), ('positive__lte', models.F('sampled')), ('result', 'POSITIVE')), _connector='OR'), name='quarantine_finding_counts'),
        ),
        migrations.AddConstraint(
            model_name='healthrule',
            constraint=django.contrib.postgres.constraints.ExclusionConstraint(expressions=[('site', '='), ('code', '='), ('period', '&&')], name='quarantine_healthrule_one_at_a_time'),
        ),
        migrations.AddConstraint(
            model_name='healthrule',
            constraint=models.CheckConstraint(condition=models.Q(('level__in', [1, 2, 3]), ('level_elsewhere__in', [1, 2, 3])), name='quarantine_healthrule_level'),
        ),
        migrations.AddConstraint(
            model_name='necropsy',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('corrects', None), ('reason', ''), ('withdrawn', False)), models.Q(('corrects__isnull', False), models.Q(('reason', ''), _negated=True)), _connector='OR'), name='quarantine_necropsy_correction_has_reason'),
        ),
        migrations.AddConstraint(
            model_name='necropsy',
            constraint=models.CheckConstraint(condition=models.Q(('examined__gt', 0), models.Q(('gross', ''), _negated=True), models.Q(('performed_by', ''), _negated=True)), name='quarantine_necropsy_is_said'),
        ),
        migrations.AddIndex(
            model_name='observation',
            index=models.Index(fields=['vessel', '-happened_at'], name='quarantine_obs_latest'),
        ),
        migrations.AddConstraint(
            model_name='observation',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('corrects', None), ('reason', ''), ('withdrawn', False)), models.Q(('corrects__isnull', False), models.Q(('reason', ''), _negated=True)), _connector='OR'), name='quarantine_observation_correction_has_reason'),
        ),
        migrations.AddConstraint(
            model_name='observation',
            constraint=models.CheckConstraint(condition=models.Q(('feeding__in', ['ATE', 'LITTLE', 'REFUSED', 'NOT_OFFERED'])), name='quarantine_observation_feeding'),
        ),
        migrations.AddConstraint(
            model_name='observation',
            constraint=models.CheckConstraint(condition=models.Q(('respiration__in', ['CALM', 'FAST', 'GASPING', 'NOT_JUDGED'])), name='quarantine_observation_respiration'),
        ),
        migrations.AddConstraint(
            model_name='observation',
            constraint=models.CheckConstraint(condition=models.Q(('signs__contained_by', ['CLAMPED', 'HANGING', 'RUBBING', 'SPOTS', 'FLUFF', 'WOUND', 'FINS', 'EYES', 'BELLY', 'BALANCE', 'FAECES', 'COLOUR', 'CHASED', 'OTHER'])), name='quarantine_observation_signs'),
        ),
        *forbid("UPDATE OR DELETE OR TRUNCATE", NEVER_CHANGED),
        *forbid("DELETE OR TRUNCATE", NEVER_DELETED),
    ]
