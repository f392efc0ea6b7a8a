"""Courses of treatment on paper: the seven items of 21 CFR 530.5, and who ordered it."""

from collections.abc import Iterable
from datetime import datetime, tzinfo
from uuid import UUID

from facility.rules.wording import written
from facility.sockets.paper import Table
from quarantine.models import Course, TreatmentOrder
from quarantine.queries.books import lots_in
from quarantine.queries.courses import CourseStanding
from quarantine.queries.records import doses_of
from tanks.paper.phrases import stamp


def treatment_table(courses: Iterable[CourseStanding], zone: tzinfo) -> Table:
    columns = (
        "Water, begun",
        "Drug and active ingredient",
        "Condition",
        "Species",
        "Number",
        "Dosage",
        "Duration",
        "Withdrawal",
        "Veterinarian",
        "Ended",
    )
    rows = tuple(_row(one, zone) for one in courses)
    return Table(columns, rows, (1.1, 1.4, 1.1, 1.1, 0.6, 1.1, 1, 0.8, 1.2, 1))


def _row(one: CourseStanding, zone: tzinfo) -> tuple[str, ...]:
    course, order = one.course, one.course.order
    animals = [] if order else _animals(one)
    unit = f"{course.agent.unit} {course.agent.counted_as}".strip()
    return (
        f"{course.vessel.code}\n{stamp(course.happened_at, zone)}",
        _drug(one),
        order.condition if order else course.why,
        order.species if order else "\n".join(species for species, _ in animals),
        str(order.count) if order else "\n".join(str(count) for _, count in animals),
        _dosage(one, unit),
        _duration(one, zone),
        f"{order.withdrawal_days} d" if order else "none ordered",
        _veterinarian(order),
        _ended(one, zone),
    )


def _animals(one: CourseStanding) -> list[tuple[str, int]]:
    """By the book, what was in the water when the course was opened."""
    course = one.course
    found: dict[str, int] = {}
    for held in lots_in([UUID(pk) for pk in course.members], at=course.happened_at):
        name = held.lot.species.scientific_name
        found[name] = found.get(name, 0) + held.count
    return list(found.items())


def _drug(one: CourseStanding) -> str:
    """The agent as it counts, and each container it came from with its batch."""
    used = {(dose.container.name, dose.container.batch) for dose in doses_of(one.course)}
    containers = [f"{name}, batch {batch}" for name, batch in sorted(used)]
    return "\n".join([f"{one.name}, as {one.course.agent.counted_as}", *containers])


def _dosage(one: CourseStanding, unit: str) -> str:
    course = one.course
    window = ""
    if course.low is not None and course.high is not None:
        window = f"\nwindow {written(course.low)} to {written(course.high)} {unit}"
    return f"target {written(course.target)} {unit}{window}\n{_doses(course)}"


def _doses(course: Course) -> str:
    count = len(doses_of(course))
    return "1 dose" if count == 1 else f"{count} doses"


def _duration(one: CourseStanding, zone: tzinfo) -> str:
    ordered = one.course.order
    told = [f"{written(ordered.duration_days)} d ordered"] if ordered else []
    if one.clock:
        told.append(f"{written(round(one.therapeutic_days, 1))} d in window")
    if one.baths:
        told.append(f"{one.baths} baths")
    return "\n".join(told) or _since(one.course.happened_at, zone)


def _since(at: datetime, zone: tzinfo) -> str:
    return f"since {at.astimezone(zone):%Y-%m-%d}"


def _veterinarian(order: TreatmentOrder | None) -> str:
    if order is None:
        return "no order on record"
    return f"{order.by.full_name}\nlicence {order.licence}"


def _ended(one: CourseStanding, zone: tzinfo) -> str:
    if one.cleared_at:
        return f"cleared {stamp(one.cleared_at, zone)}"
    if one.abandoned_at:
        return f"abandoned {stamp(one.abandoned_at, zone)}: {one.why_abandoned}"
    return "under treatment: not to be sold"
