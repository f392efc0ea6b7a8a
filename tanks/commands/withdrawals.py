"""Take an entry back without putting another in its place; it stays to be seen."""

from copy import copy
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Person
from facility.refusals import NotFound, Refusal
from tanks.commands.entering import reason_of, require_standing
from tanks.commands.finding import vessel_for
from tanks.models import (
    CorrectiveAction,
    Dose,
    Feeding,
    Incident,
    Ramp,
    Reading,
    Seeding,
    Switch,
    ValveLoan,
    Vessel,
    Volume,
    WalkSign,
    WaterChange,
)

# A challenge, a verdict and a certificate rest on their dose and readings: withdraw those.
_MODELS: Final[dict[str, Any]] = {
    model._meta.label_lower: model
    for model in (
        Reading,
        Dose,
        WaterChange,
        Feeding,
        Seeding,
        Incident,
        Switch,
        ValveLoan,
        WalkSign,
        Volume,
        Ramp,
        CorrectiveAction,
    )
}


class CannotBeWithdrawn(Refusal):
    code = "cannot-be-withdrawn"
    field = "model"


@dataclass(frozen=True, slots=True, kw_only=True)
class WithdrawEntry:
    """``model`` is named as in the ledger, such as ``tanks.dose``; ``id`` is the new row's."""

    id: UUID
    model: str
    fact_id: UUID
    reason: str


@transaction.atomic(durable=True)
def withdraw_entry(command: WithdrawEntry, *, by: Person, at: datetime) -> Any:
    """Add a row that takes the entry back.

    Raises:
        NotFound, NotAllowed, IdTaken, CannotBeWithdrawn, ReasonMissing, CorrectedBefore
    """
    fact = _fact(command)
    vessel = vessel_for(by, vessel_of(fact).pk, deed="tanks.withdraw-entry")
    said = {"corrects_id": fact.pk, "withdrawn": True, "reason": command.reason.strip()}
    if again := earlier(type(fact), command.id, said):
        return again
    require_standing(fact)
    row = _taken_back(fact, command, by=by, at=at)
    row.save(force_insert=True)
    ledger.record(
        "tanks.withdraw-entry",
        [row],
        about=vessel,
        site=vessel.site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return row


def vessel_of(fact: Any) -> Vessel:
    """The vessel an entry is about: its own, its device's, valve's, reading's or start-up's."""
    ways = (getattr(fact, name, None) for name in ("device", "connection", "reading", "cycle"))
    holder = next((way for way in ways if way is not None), fact)
    vessel: Vessel = holder.vessel
    return vessel


def entry_model(name: str) -> Any:
    """Return the kind of entry named as in the ledger.

    Raises:
        CannotBeWithdrawn
    """
    if name not in _MODELS:
        raise CannotBeWithdrawn("This kind of entry cannot be withdrawn.")
    return _MODELS[name]


def _fact(command: WithdrawEntry) -> Any:
    fact = entry_model(command.model).objects.filter(pk=command.fact_id).first()
    if fact is None:
        raise NotFound("There is no such entry here.")
    return fact


def _taken_back(fact: Any, command: WithdrawEntry, *, by: Person, at: datetime) -> Any:
    row = copy(fact)
    row.pk, row._state.adding = command.id, True
    row.corrects, row.reason, row.withdrawn = fact, reason_of(command.reason), True
    row.recorded_at, row.by = at, by
    return row
