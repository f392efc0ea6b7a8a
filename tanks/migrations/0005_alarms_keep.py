"""Loans of valves and corrective actions stay as they were written."""

from django.db import migrations

NEVER_CHANGED = ("tanks_valveloan", "tanks_correctiveaction")
NEVER_DELETED = ("tanks_alarmrule",)


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
    dependencies = [("tanks", "0004_alarms")]

    operations = [
        *forbid("UPDATE OR DELETE OR TRUNCATE", NEVER_CHANGED),
        *forbid("DELETE OR TRUNCATE", NEVER_DELETED),
    ]
