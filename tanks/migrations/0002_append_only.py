"""Facts are never changed; a period or a start-up may be ended once, and that is all."""

from django.db import migrations

NEVER_CHANGED = (
    "tanks_volume",
    "tanks_switch",
    "tanks_reading",
    "tanks_dose",
    "tanks_waterchange",
    "tanks_feeding",
    "tanks_seeding",
    "tanks_incident",
    "tanks_ramp",
    "tanks_challenge",
    "tanks_verdict",
    "tanks_certificate",
    "tanks_forecast",
)
NEVER_DELETED = (
    "tanks_vessel",
    "tanks_label",
    "tanks_device",
    "tanks_method",
    "tanks_product",
    "tanks_policy",
    "tanks_limit",
    "tanks_connection",
    "tanks_cycle",
)

ENDED_ONCE = """
CREATE FUNCTION penstock_connection_ends_once() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF upper_inf(OLD.period) AND lower(NEW.period) = lower(OLD.period)
       AND NOT upper_inf(NEW.period)
       AND (NEW.id, NEW.vessel_id, NEW.system_id, NEW.valve)
         = (OLD.id, OLD.vessel_id, OLD.system_id, OLD.valve) THEN
        RETURN NEW;
    END IF;
    RAISE EXCEPTION 'a connection can only be ended, once'
        USING ERRCODE = 'integrity_constraint_violation';
END $$;
CREATE TRIGGER penstock_ends_once BEFORE UPDATE ON tanks_connection
    FOR EACH ROW EXECUTE FUNCTION penstock_connection_ends_once();

CREATE FUNCTION penstock_cycle_ends_once() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
    opened tanks_cycle := NEW;
BEGIN
    opened.ended_at := NULL;
    opened.outcome := '';
    IF OLD.ended_at IS NULL AND NEW.ended_at IS NOT NULL AND opened = OLD THEN
        RETURN NEW;
    END IF;
    RAISE EXCEPTION 'a start-up can only be ended, once'
        USING ERRCODE = 'integrity_constraint_violation';
END $$;
CREATE TRIGGER penstock_ends_once BEFORE UPDATE ON tanks_cycle
    FOR EACH ROW EXECUTE FUNCTION penstock_cycle_ends_once();
"""
DROP_ENDED_ONCE = """
DROP TRIGGER penstock_ends_once ON tanks_connection;
DROP FUNCTION penstock_connection_ends_once();
DROP TRIGGER penstock_ends_once ON tanks_cycle;
DROP FUNCTION penstock_cycle_ends_once();
"""


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
    dependencies = [("tanks", "0001_first"), ("facility", "0002_append_only")]

    operations = [
        *forbid("UPDATE OR DELETE OR TRUNCATE", NEVER_CHANGED),
        *forbid("DELETE OR TRUNCATE", NEVER_DELETED),
        migrations.RunSQL(ENDED_ONCE, DROP_ENDED_ONCE),
    ]
