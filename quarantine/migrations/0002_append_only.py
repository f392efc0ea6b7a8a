"""Admissions and stockings are never changed."""

from django.db import migrations

NEVER_CHANGED = ("quarantine_admission", "quarantine_stocking")


class Migration(migrations.Migration):
    dependencies = [("quarantine", "0001_first"), ("facility", "0002_append_only")]

    operations = [
        migrations.RunSQL(
            f"CREATE TRIGGER penstock_keeps BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION penstock_append_only();",
            f"DROP TRIGGER penstock_keeps ON {table};",
        )
        for table in NEVER_CHANGED
    ]
