"""Keep a forecast as it was made. It advises; nothing is ever certified by it."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import take_turn
from facility.models import Person
from facility.queries import people
from facility.refusals import NotFound
from facility.rules.canonical import digest
from tanks.models import Cycle, Forecast
from tanks.queries.cycles import related


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepForecast:
    """Two answers to one case: as planned, and if nobody buffers."""

    id: UUID
    cycle_id: UUID
    case: dict[str, Any]
    as_planned: dict[str, Any]
    unbuffered: dict[str, Any]


@transaction.atomic(durable=True)
def keep_forecast(command: KeepForecast, *, by: Person | None, at: datetime) -> Forecast:
    """Keep a forecast once for each case; nobody signs for what the house itself worked out.

    Raises:
        NotFound, NotAllowed
    """
    cycle = related(Cycle.objects.all()).filter(pk=command.cycle_id).first()
    if cycle is None:
        raise NotFound("There is no such start-up here.")
    if by is not None:
        people.require(by, "tanks.keep-forecast", cycle.vessel.site)
    take_turn(cycle.vessel.site)
    mark = digest(command.case)
    if kept := Forecast.objects.filter(cycle=cycle, digest=mark).first():
        return kept
    forecast = Forecast.objects.create(
        id=command.id,
        cycle=cycle,
        made_at=at,
        digest=mark,
        case=command.case,
        as_planned=command.as_planned,
        unbuffered=command.unbuffered,
    )
    ledger.record(
        "tanks.keep-forecast",
        [forecast],
        about=cycle,
        site=cycle.vessel.site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return forecast
