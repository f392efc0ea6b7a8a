"""The database itself refuses to change or delete what was recorded."""

from django.db import migrations

FUNCTIONS = """
CREATE FUNCTION penstock_append_only() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION '% keeps what was written: record a correction instead of %.',
        TG_TABLE_NAME, lower(TG_OP) USING ERRCODE = 'integrity_constraint_violation';
END $$;
"""
DROP_FUNCTIONS = "DROP FUNCTION penstock_append_only();"

NEVER_CHANGED = ("facility_entry", "facility_document")
NEVER_DELETED = ("facility_site", "facility_area", "facility_person", "facility_membership")


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
    dependencies = [("facility", "0001_first")]

    operations = [
        migrations.RunSQL(FUNCTIONS, DROP_FUNCTIONS),
        *forbid("UPDATE OR DELETE OR TRUNCATE", NEVER_CHANGED),
        *forbid("DELETE OR TRUNCATE", NEVER_DELETED),
    ]
