"""Call the next person when nobody has accepted an alert."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import take_turn
from facility.commands.notices import notices_for
from facility.models import Alert, Person
from facility.queries.notices import step_due


@dataclass(frozen=True, slots=True, kw_only=True)
class EscalateAlert:
    """Look whether the alert waits for anybody too long."""

    alert_id: UUID


@transaction.atomic(durable=True)
def escalate_alert(command: EscalateAlert, *, by: Person | None, at: datetime) -> Alert | None:
    """Call the backup, then the managers, then all again; None when nobody is to be called."""
    take_turn(Alert.objects.select_related("site").get(pk=command.alert_id).site)
    alert = Alert.objects.select_related("site", "owner", "backup").get(pk=command.alert_id)
    step = step_due(alert, at=at)
    if step is None:
        return None
    called = notices_for(alert, step, at=at)
    alert.escalations, alert.escalated_at = alert.escalations + 1, at
    alert.save(update_fields=["escalations", "escalated_at"])
    ledger.record(
        "facility.escalate-alert",
        [alert],
        about=alert,
        site=alert.site,
        by=by,
        happened_at=at,
        recorded_at=at,
        step=step,
        channels=[str(notice.channel_id) for notice in called],
    )
    return alert
