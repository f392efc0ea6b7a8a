"""An alert counts how often somebody more was called; one channel may be told a step again."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("facility", "0007_calendars")]

    operations = [
        migrations.AddField(
            model_name="alert",
            name="escalations",
            field=models.PositiveSmallIntegerField(default=0),
        ),
        migrations.RemoveConstraint(model_name="notice", name="facility_notice_once"),
        migrations.AddConstraint(
            model_name="notice",
            constraint=models.UniqueConstraint(
                fields=["alert", "channel", "step", "made_at"], name="facility_notice_once"
            ),
        ),
    ]
