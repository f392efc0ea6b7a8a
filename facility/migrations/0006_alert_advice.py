"""A sign carries its rule's advice, an alert what was done about it."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("facility", "0005_sent_asks")]

    operations = [
        migrations.AddField(
            model_name="sign",
            name="advice",
            field=models.CharField(blank=True, max_length=300),
        ),
        migrations.AddField(
            model_name="alert",
            name="act",
            field=models.CharField(blank=True, max_length=200),
        ),
    ]
