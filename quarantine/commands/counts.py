"""Bring the book to what was counted."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from facility.commands.deliveries import earlier, require_past
from facility.models import Person
from facility.refusals import Refusal
from quarantine.commands.books import Change, enter, lot_for
from quarantine.commands.lots import record_lot, vessel_at
from quarantine.models import CountChange
from quarantine.queries.books import held_by


class CountReasonMissing(Refusal):
    code = "count-reason-missing"
    field = "reason"


class CountAsBooked(Refusal):
    code = "count-as-booked"
    field = "counted"


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectCount:
    """``counted`` animals of the lot were in the vessel, whatever the book says."""

    id: UUID
    lot_id: UUID
    vessel_id: UUID
    counted: int
    reason: str
    happened_at: datetime


@transaction.atomic(durable=True)
def correct_count(command: CorrectCount, *, by: Person, at: datetime) -> CountChange:
    """Bring the book to what was counted, and keep why they differed.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, CountReasonMissing, CountAsBooked,
        CountsDoNotClose
    """
    lot = lot_for(by, command.lot_id, deed="quarantine.correct-count")
    note = command.reason.strip()
    if change := earlier(
        CountChange, command.id, {"note": note, "happened_at": command.happened_at}
    ):
        return change
    require_past(command.happened_at, at=at)
    if not note:
        raise CountReasonMissing("Write why book and tank differ, such as “counted at the move”.")
    vessel = vessel_at(lot.site, command.vessel_id, at=command.happened_at)
    booked = held_by(lot, at=command.happened_at).get(vessel.pk, 0)
    if command.counted == booked:
        raise CountAsBooked(f"The book says {booked} in {vessel.code} already.")
    side = "to" if command.counted > booked else "from"
    sides: dict[str, Any] = {f"{side}_lot": lot, f"{side}_vessel": vessel}
    change = enter(
        Change(
            id=command.id,
            kind=CountChange.Kind.CORRECTED,
            count=abs(max(command.counted, 0) - booked),
            happened_at=command.happened_at,
            note=note,
            **sides,
        ),
        by=by,
        at=at,
    )
    when = command.happened_at
    record_lot("quarantine.correct-count", lot, [change], when=when, by=by, at=at)
    return change
