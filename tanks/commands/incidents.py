"""Mishaps: what befell a water or its filter besides what was done on purpose."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final
from uuid import UUID

from django.db import transaction

from facility.models import Person
from facility.refusals import Refusal
from tanks.commands.befalling import begin, record, scaled
from tanks.commands.litres import water_then
from tanks.models import Incident

_STEPS: Final = {"lasted_h": Decimal("0.01")}
_MOST_HOURS: Final = 10_000


class UnknownIncident(Refusal):
    code = "unknown-incident"
    field = "kind"


class HoursOffScale(Refusal):
    code = "hours-off-scale"
    field = "lasted_h"


class NoteMissing(Refusal):
    code = "note-missing"
    field = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogIncident:
    """``lasted_h`` is None where nobody knows how long."""

    id: UUID
    vessel_id: UUID
    kind: str
    lasted_h: Decimal | None
    note: str
    happened_at: datetime


@transaction.atomic(durable=True)
def log_incident(command: LogIncident, *, by: Person, at: datetime) -> Incident:
    """Keep what befell the water or its filter; rules draw their own conclusions from it.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, NotYetThere, UnknownIncident,
        HoursOffScale, NoteMissing
    """
    columns = scaled(command, _STEPS)
    vessel, delivered = begin(Incident, columns, "tanks.log-incident", by=by, at=at)
    if delivered:
        return delivered
    water_then(vessel, at=command.happened_at)
    if command.kind not in Incident.Kind.values:
        raise UnknownIncident("Choose what happened.")
    if command.lasted_h is not None and not 0 < columns["lasted_h"] < _MOST_HOURS:
        raise HoursOffScale("Write how many hours it lasted, more than 0, or leave it empty.")
    if not command.note.strip():
        raise NoteMissing("Say in a few words what happened.")
    incident = Incident.objects.create(**columns, recorded_at=at, by=by)
    record("tanks.log-incident", incident, vessel, by=by, at=at)
    return incident
