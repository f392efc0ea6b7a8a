"""The share of lone tanks tested each week becomes a figure of the policy."""

from decimal import Decimal
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('tanks', '0006_walks'),
    ]

    operations = [
        migrations.AddField(
            model_name='policy',
            name='tested_share_percent',
            field=models.DecimalField(decimal_places=1, default=Decimal('10'), max_digits=4),
        ),
    ]
