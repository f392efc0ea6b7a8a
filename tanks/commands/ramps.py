"""Plan the way from the start-up's values to those the animals will live at."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Final
from uuid import UUID

from django.db import transaction

from chemistry.domain import OutOfRange
from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Person
from facility.refusals import Refusal
from tanks.commands.allowing import WaterStocked
from tanks.commands.cycles import cycle_for, require_open
from tanks.commands.litres import net_litres, water_then
from tanks.models import Cycle, Ramp, Reading
from tanks.queries.acts import holds_animals
from tanks.queries.ramps import now_at
from tanks.queries.waters import Water
from tanks.rules.ramps import Step, salinity_steps, temperature_steps


class UnknownRamp(Refusal):
    code = "unknown-ramp"
    field = "of"


class DaysOffScale(Refusal):
    code = "days-off-scale"
    field = "days"


class RampInThePast(Refusal):
    code = "ramp-in-the-past"
    field = "starts_on"


class EndOffScale(Refusal):
    code = "end-off-scale"
    field = "end"


class NothingToRamp(Refusal):
    code = "nothing-to-ramp"
    field = "end"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanRamp:
    """``of`` SALINITY (g/kg) or TEMPERATURE (°C), to ``end`` in ``days`` even steps."""

    id: UUID
    cycle_id: UUID
    of: str
    end: Decimal
    starts_on: date
    days: int


@transaction.atomic(durable=True)
def plan_ramp(command: PlanRamp, *, by: Person, at: datetime) -> Ramp:
    """Keep the steps from what was read last to the end; the latest plan of its kind counts.

    Raises:
        NotFound, NotAllowed, IdTaken, CycleEnded, UnknownRamp, DaysOffScale, RampInThePast,
        VolumeUnknown, WaterStocked, NothingToRamp, EndOffScale
    """
    cycle = cycle_for(by, command.cycle_id, deed="tanks.plan-ramp")
    columns = {
        "cycle_id": command.cycle_id,
        "of": command.of,
        "end": command.end.quantize(_CENTI),
        "starts_on": command.starts_on,
    }
    if ramp := earlier(Ramp, command.id, columns):
        return ramp
    require_open(cycle)
    _require_sense(command, today=at.astimezone(cycle.vessel.site.zone).date())
    water = water_then(cycle.vessel, at=at)
    begin = now_at(cycle, water, of=command.of)
    steps = planned(command, cycle, water)
    ramp = Ramp.objects.create(
        **columns,
        id=command.id,
        begin=Decimal(repr(begin)).quantize(_CENTI),
        water_litres=net_litres(water),
        steps=[step.plain() for step in steps],
        happened_at=at,
        recorded_at=at,
        by=by,
    )
    ledger.record(
        "tanks.plan-ramp",
        [ramp],
        about=cycle,
        site=cycle.vessel.site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return ramp


def planned(command: PlanRamp, cycle: Cycle, water: Water) -> tuple[Step, ...]:
    """Return the steps this water would take.

    Raises:
        VolumeUnknown, WaterStocked, NothingToRamp, EndOffScale
    """
    litres = float(net_litres(water))
    if command.of == Ramp.Of.SALINITY and holds_animals(water):
        raise WaterStocked(
            f"Animals are recorded in {water.name}: this plan is for a water without animals."
        )
    try:
        steps = _steps(command, cycle, water, litres)
    except OutOfRange as error:
        raise EndOffScale(str(error)) from error
    if not steps:
        raise NothingToRamp("The water is there already.")
    return steps


_CENTI: Final = Decimal("0.01")
_MOST_DAYS: Final = 30


def _require_sense(command: PlanRamp, *, today: date) -> None:
    if command.of not in Ramp.Of.values:
        raise UnknownRamp("Choose salinity or temperature.")
    if not 1 <= command.days <= _MOST_DAYS:
        raise DaysOffScale(f"Plan from 1 to {_MOST_DAYS} days.")
    if command.starts_on < today:
        raise RampInThePast("Begin today or later.")


def _steps(command: PlanRamp, cycle: Cycle, water: Water, litres: float) -> tuple[Step, ...]:
    begin = now_at(cycle, water, of=command.of)
    if command.of == Ramp.Of.TEMPERATURE:
        return temperature_steps(
            begin_c=begin, end_c=float(command.end), starts_on=command.starts_on, days=command.days
        )
    return salinity_steps(
        begin_g_kg=begin,
        end_g_kg=float(command.end),
        volume_l=litres,
        temperature_c=now_at(cycle, water, of=Reading.Parameter.TEMPERATURE),
        starts_on=command.starts_on,
        days=command.days,
    )
