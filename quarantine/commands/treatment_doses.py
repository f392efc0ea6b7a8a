"""Give a dose of a course; end a bath. The dose guard is asked, and nothing switches it off."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any, Final
from uuid import UUID

from django.db import transaction

from facility.commands.deliveries import earlier, require_past
from facility.models import Person
from facility.refusals import NotFound, Refusal
from facility.rules.wording import day_and_time
from quarantine.commands.courses import course_for, record, require_open, require_since
from quarantine.models import BathEnd, Container, Course, Override, TreatmentDose
from quarantine.queries.guarding import drum_for, ground_for, regime_for
from quarantine.rules.guard import stops
from quarantine.rules.guard_amounts import computed, level_after
from quarantine.rules.guard_facts import Asked, Ground, Stopped
from tanks.commands.litres import net_litres, water_then
from tanks.models import Vessel
from tanks.queries.waters import Water


class DoseStopped(Refusal):
    """``stops`` holds every reason; what is not final may be set aside, one by one, by name."""

    code = "dose-stopped"

    def __init__(self, found: Iterable[Stopped]) -> None:
        self.stops = tuple(found)
        super().__init__(" ".join(one.sentence for one in self.stops))


class AmountNotPositive(Refusal):
    code = "amount-not-positive"
    field = "amount"


class RiseNotPositive(Refusal):
    code = "rise-not-positive"
    field = "rise"


class UnknownIntent(Refusal):
    code = "unknown-intent"
    field = "intent"


class BathEnded(Refusal):
    code = "bath-ended"
    field = "dose_id"


class BathEndsEarly(Refusal):
    code = "bath-ends-early"
    field = "happened_at"


class NoBath(Refusal):
    code = "no-bath"
    field = "dose_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class GiveDose:
    """``amount`` is what was measured out, in g of a solid or mL of a solution, for ``rise``.

    ``seen_members`` and ``seen_litres`` are the water as it stood on the sheet.
    """

    id: UUID
    course_id: UUID
    container_id: UUID
    intent: str
    rise: Decimal
    amount: Decimal
    seen_members: frozenset[UUID]
    seen_litres: Decimal
    happened_at: datetime
    minutes: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class EndBath:
    """The animals are out of the bath, or the bath is out of the tank."""

    id: UUID
    dose_id: UUID
    happened_at: datetime
    note: str = ""


@transaction.atomic(durable=True)
def give_dose(command: GiveDose, *, by: Person, at: datetime) -> TreatmentDose:
    """Keep what went in, unless the guard stops it.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, BeforeCourse, CourseEnded, UnknownIntent,
        AmountNotPositive, RiseNotPositive, NotYetThere, VolumeUnknown, DoseStopped
    """
    course = course_for(by, command.course_id, deed="quarantine.give-dose")
    columns = _columns(command)
    if dose := earlier(TreatmentDose, command.id, columns):
        return dose
    require_past(command.happened_at, at=at)
    require_since(course, command.happened_at)
    require_open(course, at=max(at, command.happened_at))
    weighed = weigh(command, course, giver=by.pk)
    left = uncovered(command, weighed.stops)
    if left:
        raise DoseStopped(left)
    dose = TreatmentDose.objects.create(
        **columns,
        computed_amount=_kept(weighed.computed_amount, _MILLI),
        unit=weighed.asked.drum.unit,
        water_litres=net_litres(weighed.water),
        level_after=_kept(weighed.level_after, _STEP),
        recorded_at=at,
        by=by,
    )
    record("quarantine.give-dose", dose, course, by=by, at=at)
    return dose


@transaction.atomic(durable=True)
def end_bath(command: EndBath, *, by: Person, at: datetime) -> BathEnd:
    """Keep when a bath was over.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, NoBath, BathEnded, BathEndsEarly
    """
    known = TreatmentDose.objects.current().filter(pk=command.dose_id)
    known = known.filter(course__vessel__in=Vessel.objects.open_to(by))
    dose: TreatmentDose | None = known.select_related("course", "by").first()
    if dose is None:
        raise NotFound("There is no such dose here.")
    course = course_for(by, dose.course_id, deed="quarantine.end-bath")
    columns = asdict(command) | {"note": command.note.strip()}
    if end := earlier(BathEnd, command.id, columns):
        return end
    require_past(command.happened_at, at=at)
    _require_running(dose, command, course)
    end = BathEnd.objects.create(**columns, recorded_at=at, by=by)
    record("quarantine.end-bath", end, course, by=by, at=at)
    return end


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """A dose against the records of its moment."""

    asked: Asked
    ground: Ground
    water: Water
    computed_amount: float
    level_after: float
    stops: tuple[Stopped, ...]


def weigh(command: GiveDose, course: Course, *, giver: UUID) -> Weighed:
    """Return what the dose comes to and everything that stops it.

    Raises:
        NotFound, UnknownIntent, AmountNotPositive, RiseNotPositive, NotYetThere, VolumeUnknown
    """
    _require_sound(command, course)
    container = container_of(course, command.container_id)
    water = water_then(course.vessel, at=max(command.happened_at, course.happened_at))
    litres = float(net_litres(water))
    ground = ground_for(course, water)
    asked = _asked(command, container, giver)
    return Weighed(
        asked=asked,
        ground=ground,
        water=water,
        computed_amount=computed(rise=asked.rise, litres=litres, strength=asked.drum.strength),
        level_after=level_after(asked, ground, litres=litres)[1],
        stops=stops(asked, ground, regime_for(course)),
    )


def uncovered(command: GiveDose, found: Iterable[Stopped]) -> list[Stopped]:
    """Leave out what somebody set aside: for this dose, this amount, and as it is said now."""
    rows = Override.objects.current().filter(
        dose_id=command.id,
        container_id=command.container_id,
        amount=command.amount.quantize(_MILLI),
    )
    covered = set(rows.values_list("stop", "sentence"))
    return [one for one in found if (one.code, one.sentence[:_LONGEST]) not in covered]


def container_of(course: Course, container_id: UUID) -> Container:
    """Return the container, whatever agent it holds: the guard says what is wrong with it."""
    container = Container.objects.filter(site=course.vessel.site_id, pk=container_id).first()
    if container is None:
        raise NotFound("There is no such container on this site's shelf.")
    return container


_MILLI: Final = Decimal("0.001")
_STEP: Final = Decimal("0.0001")
_LONGEST: Final = 400


def _columns(command: GiveDose) -> dict[str, Any]:
    """Numbers as their columns hold them, so that a second delivery says the same."""
    columns = asdict(command)
    del columns["seen_members"], columns["seen_litres"]
    return columns | {
        "rise": command.rise.quantize(_STEP),
        "amount": command.amount.quantize(_MILLI),
    }


def _kept(value: float, step: Decimal) -> Decimal:
    return Decimal(repr(value)).quantize(step)


def _require_sound(command: GiveDose, course: Course) -> None:
    intents = {TreatmentDose.Intent.BATH} if course.agent.is_bath else _STAYS_IN
    if command.intent not in intents:
        raise UnknownIntent("Choose what this dose is for.")
    if command.rise.quantize(_STEP) <= 0:
        raise RiseNotPositive(f"Give the rise in {course.agent.unit}, above 0.")
    if command.amount.quantize(_MILLI) <= 0:
        raise AmountNotPositive("Write what you measured out, more than 0.")


_STAYS_IN: Final = {
    TreatmentDose.Intent.START,
    TreatmentDose.Intent.TOP_UP,
    TreatmentDose.Intent.REDOSE,
}


def _asked(command: GiveDose, container: Container, giver: UUID) -> Asked:
    return Asked(
        drum=drum_for(container, at=command.happened_at),
        amount=float(command.amount.quantize(_MILLI)),
        rise=float(command.rise.quantize(_STEP)),
        intent=command.intent,
        minutes=command.minutes,
        seen_members=frozenset(command.seen_members),
        seen_litres=float(command.seen_litres),
        by=giver,
        at=command.happened_at,
    )


def _require_running(dose: TreatmentDose, command: EndBath, course: Course) -> None:
    if dose.intent != TreatmentDose.Intent.BATH:
        raise NoBath("This dose was no bath: it stays in until it is cleared.")
    before = BathEnd.objects.filter(dose=dose).select_related("by").first()
    zone = course.vessel.site.zone
    if before is not None:
        moment = day_and_time(before.happened_at, zone=zone)
        raise BathEnded(f"{before.by.full_name} ended this bath on {moment}.")
    if command.happened_at < dose.happened_at.replace(second=0, microsecond=0):
        raise BathEndsEarly(
            f"The bath began on {day_and_time(dose.happened_at, zone=zone)}; give a later time."
        )
