"""The book of animals stays as it was written; what it names is never deleted."""

from django.db import migrations

NEVER_CHANGED = (
    "quarantine_countchange",
    "quarantine_hold",
    "quarantine_holdlift",
    "quarantine_lotparent",
)
NEVER_DELETED = (
    "quarantine_species",
    "quarantine_speciessheet",
    "quarantine_supplier",
    "quarantine_consignment",
    "quarantine_lot",
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
    dependencies = [("quarantine", "0003_lots"), ("facility", "0002_append_only")]

    operations = [
        *forbid("UPDATE OR DELETE OR TRUNCATE", NEVER_CHANGED),
        *forbid("DELETE OR TRUNCATE", NEVER_DELETED),
    ]
