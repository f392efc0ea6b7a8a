"""Empty a tank, disinfect it, and say when each step was done."""

from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final
from uuid import UUID, uuid5

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past, take_turn
from facility.models import Person
from facility.queries import people
from facility.refusals import NotFound, Refusal
from facility.rules.wording import day_and_time
from quarantine.models import ResetStep, TankReset
from quarantine.queries.books import lots_in
from quarantine.queries.resets import chlorine_limit, chlorine_readings, reset_now, running_reset
from quarantine.rules.resets import GIVEN_UP, STATES, is_contact_short, is_too_early
from tanks.commands.finding import require_in_use, vessel_for
from tanks.commands.litres import water_then
from tanks.models import Incident, Reading, Vessel

_STEPS: Final = Decimal("0.1")
_MOST_MG_L: Final = 1000
_MOST_MINUTES: Final = 2880


class NotAlone(Refusal):
    code = "not-alone"
    field = "vessel_id"


class AnimalsInside(Refusal):
    code = "animals-inside"
    field = "vessel_id"


class ResetRunning(Refusal):
    code = "reset-running"
    field = "vessel_id"


class BathOffScale(Refusal):
    code = "bath-off-scale"
    field = "chlorine_mg_l"


class ContactOffScale(Refusal):
    code = "contact-off-scale"
    field = "contact_minutes"


class WhyMissing(Refusal):
    code = "why-missing"
    field = "why"


class OutOfOrder(Refusal):
    code = "out-of-order"
    field = "step"


class StepTooEarly(Refusal):
    code = "step-too-early"
    field = "happened_at"


class ContactTooShort(Refusal):
    code = "contact-too-short"
    field = "happened_at"


class ChlorineLeft(Refusal):
    code = "chlorine-left"
    field = "reading_id"


class ReasonMissing(Refusal):
    code = "reason-missing"
    field = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class StartReset:
    """The tank stands without animals, shut off from every system, and is dirty."""

    id: UUID
    vessel_id: UUID
    why: str
    chlorine_mg_l: Decimal
    contact_minutes: int
    happened_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeResetStep:
    """``reading_id`` is the reading of total chlorine that proves there is none."""

    id: UUID
    reset_id: UUID
    step: str
    happened_at: datetime
    reading_id: UUID | None = None
    note: str = ""


@transaction.atomic(durable=True)
def start_reset(command: StartReset, *, by: Person, at: datetime) -> TankReset:
    """Begin a reset; whatever its filter had proven is void from here on.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, NotYetThere, WhyMissing,
        BathOffScale, ContactOffScale, ResetRunning, NotAlone, AnimalsInside
    """
    vessel = vessel_for(by, command.vessel_id, deed="quarantine.start-reset")
    columns = asdict(command) | {"chlorine_mg_l": _scaled(command.chlorine_mg_l)}
    if reset := earlier(TankReset, command.id, columns):
        return reset
    require_past(command.happened_at, at=at)
    require_in_use(vessel, at=command.happened_at)
    _require_bath(columns["chlorine_mg_l"], command)
    litres = _require_empty(vessel, command.happened_at)
    incident = Incident.objects.create(
        id=uuid5(command.id, "filter"),
        vessel=vessel,
        kind=Incident.Kind.DISINFECTANT,
        note=f"Tank reset: {command.why.strip()}",
        happened_at=command.happened_at,
        recorded_at=at,
        by=by,
    )
    reset = TankReset.objects.create(
        **columns, litres=litres, incident=incident, recorded_at=at, by=by
    )
    _record("quarantine.start-reset", [incident, reset], vessel, by=by)
    return reset


@transaction.atomic(durable=True)
def take_reset_step(command: TakeResetStep, *, by: Person, at: datetime) -> ResetStep:
    """Keep that the next step was done; none can be left out or taken before its time.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, OutOfOrder, StepTooEarly, ContactTooShort,
        ChlorineLeft, ReasonMissing
    """
    reset = _reset_for(by, command.reset_id)
    if step := earlier(ResetStep, command.id, asdict(command)):
        return step
    require_past(command.happened_at, at=at)
    _require_next(reset, command)
    _require_reading(reset, command)
    step = ResetStep.objects.create(**asdict(command), recorded_at=at, by=by)
    _record("quarantine.take-reset-step", [step], reset.vessel, by=by)
    return step


def _reset_for(by: Person, reset_id: UUID) -> TankReset:
    rows = TankReset.objects.current().filter(vessel__in=Vessel.objects.open_to(by))
    reset: TankReset | None = rows.select_related("vessel__site").filter(pk=reset_id).first()
    if reset is None:
        raise NotFound("There is no such reset here.")
    people.require(by, "quarantine.take-reset-step", reset.vessel.site)
    take_turn(reset.vessel.site)
    return reset


def _require_bath(chlorine_mg_l: Decimal, command: StartReset) -> None:
    if not command.why.strip():
        raise WhyMissing("Say in a few words why the tank is reset.")
    if not 1 <= chlorine_mg_l <= _MOST_MG_L:
        raise BathOffScale(f"Write the chlorine of the bath, from 1 to {_MOST_MG_L} mg/L as Cl₂.")
    if not 1 <= command.contact_minutes <= _MOST_MINUTES:
        raise ContactOffScale(f"Write the contact time, from 1 to {_MOST_MINUTES} minutes.")


def _require_empty(vessel: Vessel, happened_at: datetime) -> Decimal | None:
    """Return the net litres of the tank, once it is certain that nothing else is in reach."""
    if running_reset(vessel) is not None:
        raise ResetRunning(f"A reset of {vessel.code} is under way; take its next step instead.")
    water = water_then(vessel, at=happened_at)
    if others := [member.code for member in water.members if member.pk != vessel.pk]:
        raise NotAlone(
            f"{vessel.code} shares its water with {', '.join(others)}: close the valve first, or "
            "the disinfectant reaches them."
        )
    if held := lots_in([vessel.pk], at=happened_at):
        told = ", ".join(f"{one.count} of {one.lot.code}" for one in held)
        raise AnimalsInside(f"By the book {vessel.code} holds {told}: move them out first.")
    return None if water.litres is None else Decimal(repr(water.litres)).quantize(Decimal("0.01"))


def _require_next(reset: TankReset, command: TakeResetStep) -> None:
    now = reset_now(reset).standing
    if now.next_step is None:
        raise OutOfOrder(f"This reset has ended: {STATES[now.state].lower()}.")
    if command.step not in (now.next_step, GIVEN_UP):
        raise OutOfOrder(f"The next step is: {STATES[now.next_step].lower()}.")
    if command.step == GIVEN_UP and not command.note.strip():
        raise ReasonMissing("Say in a few words why the reset is given up.")
    if is_too_early(now, command.step, command.happened_at):
        since = day_and_time(now.since, zone=reset.vessel.site.zone)
        raise StepTooEarly(f"The step before was done on {since}; give a later time.")
    if is_contact_short(now, command.step, command.happened_at) and now.contact_ends_at:
        until = day_and_time(now.contact_ends_at, zone=reset.vessel.site.zone)
        raise ContactTooShort(f"The disinfectant must stand until {until}.")


def _require_reading(reset: TankReset, command: TakeResetStep) -> None:
    if command.step != ResetStep.Step.CHLORINE_ZERO:
        if command.reading_id is not None:
            raise OutOfOrder("A reading proves only the step in which no chlorine is read.")
        return
    reading = _reading(reset, command)
    limit = chlorine_limit(reset.vessel.site, at=command.happened_at)
    if limit is None:
        raise ChlorineLeft("The site has no limit of total chlorine; set one first.")
    if reading.interval.high is None or reading.interval.high > limit:
        raise ChlorineLeft(
            f"Total chlorine must be shown at or below {limit:g} mg/L as Cl₂, total and not free, "
            "by a method that sees as little: neutralise, rinse and read again."
        )


def _reading(reset: TankReset, command: TakeResetStep) -> Reading:
    known = {row.pk: row for row in chlorine_readings(reset)}
    reading = known.get(command.reading_id) if command.reading_id else None
    if reading is None or reading.happened_at > command.happened_at:
        raise ChlorineLeft("Log a reading of total chlorine in this tank after rinsing, first.")
    return reading


def _scaled(chlorine_mg_l: Decimal) -> Decimal:
    return chlorine_mg_l.quantize(_STEPS)


def _record(
    kind: str, rows: list[Incident | TankReset | ResetStep], vessel: Vessel, *, by: Person
) -> None:
    latest = rows[-1]
    ledger.record(
        kind,
        rows,
        about=vessel,
        site=vessel.site,
        by=by,
        happened_at=latest.happened_at,
        recorded_at=latest.recorded_at,
    )
