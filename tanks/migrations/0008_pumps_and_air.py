"""A device may be a pump or the air supply."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('tanks', '0007_tested_share'),
    ]

    operations = [
        migrations.AlterField(
            model_name='device',
            name='kind',
            field=models.CharField(choices=[('UV', 'Ultraviolet steriliser'), ('OZONE', 'Ozone'), ('SKIMMER', 'Protein skimmer'), ('MECHANICAL', 'Mechanical filter'), ('CARBON', 'Activated carbon'), ('HEATER', 'Heater'), ('BIOFILTER', 'Biofilter'), ('PUMP', 'Pump'), ('AIR', 'Air supply')], max_length=12),
        ),
    ]
