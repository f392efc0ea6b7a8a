"""What is read of source waters, each written once."""

import django.db.models.deletion
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('facility', '0010_photos'),
        ('tanks', '0008_pumps_and_air'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='SourceReading',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('happened_at', models.DateTimeField()),
                ('recorded_at', models.DateTimeField()),
                ('reason', models.CharField(blank=True, max_length=300)),
                ('withdrawn', models.BooleanField(default=False)),
                ('source', models.CharField(max_length=80)),
                ('parameter', models.CharField(choices=[('TAN', 'Total ammonia nitrogen'), ('NITRITE', 'Nitrite'), ('NITRATE', 'Nitrate'), ('PH', 'pH'), ('ALKALINITY', 'Alkalinity'), ('TEMPERATURE', 'Temperature'), ('SALINITY', 'Salinity'), ('OXYGEN', 'Dissolved oxygen'), ('CHLORINE', 'Total chlorine')], max_length=20)),
                ('qualifier', models.CharField(choices=[('EQUAL', 'reads'), ('BELOW', 'below detection'), ('ABOVE', 'over range'), ('BETWEEN', 'between')], max_length=8)),
                ('value', models.DecimalField(decimal_places=4, max_digits=12)),
                ('upper', models.DecimalField(blank=True, decimal_places=4, max_digits=12, null=True)),
                ('as_entered', models.CharField(max_length=40)),
                ('unit', models.CharField(max_length=20)),
                ('basis', models.CharField(blank=True, max_length=20)),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('corrects', models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='correction', to='tanks.sourcereading')),
                ('method', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='tanks.method')),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='source_readings', to='facility.site')),
            ],
            options={
                'abstract': False,
                'indexes': [models.Index(fields=['site', 'source', 'parameter', '-happened_at'], name='tanks_sourcereading_latest')],
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('corrects', None), ('reason', ''), ('withdrawn', False)), models.Q(('corrects__isnull', False), models.Q(('reason', ''), _negated=True)), _connector='OR'), name='tanks_sourcereading_correction_has_reason'), models.CheckConstraint(condition=models.Q(('source', ''), _negated=True), name='tanks_sourcereading_is_of_something')],
            },
        ),
        migrations.RunSQL(
            "CREATE TRIGGER penstock_keeps BEFORE UPDATE OR DELETE OR TRUNCATE "
            "ON tanks_sourcereading "
            "FOR EACH STATEMENT EXECUTE FUNCTION penstock_append_only();",
            "DROP TRIGGER penstock_keeps ON tanks_sourcereading;",
        ),
    ]
