"""What was said about the working day stays, as everything recorded does."""

from django.db import migrations

NEVER_CHANGED = (
    "facility_task",
    "facility_completion",
    "facility_round",
    "facility_hygienebreak",
    "facility_looseend",
    "facility_looseendreturn",
    "facility_handover",
    "facility_pin",
    "facility_sent",
    "facility_maintenance",
    "facility_keptreport",
)
NEVER_DELETED = (
    "facility_duty",
    "facility_shift",
    "facility_skill",
    "facility_handset",
    "facility_alert",
    "facility_sign",
    "facility_channel",
    "facility_notice",
)


def forbid(events: str, tables: tuple[str, ...]) -> list[migrations.RunSQL]:
    return [
        migrations.RunSQL(
            f"CREATE TRIGGER penstock_keeps BEFORE {events} ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION penstock_append_only();",
            f"DROP TRIGGER penstock_keeps ON {table};",
        )
        for table in tables
    ]


class Migration(migrations.Migration):
    dependencies = [("facility", "0003_working_day")]

    operations = [
        *forbid("UPDATE OR DELETE OR TRUNCATE", NEVER_CHANGED),
        *forbid("DELETE OR TRUNCATE", NEVER_DELETED),
    ]
