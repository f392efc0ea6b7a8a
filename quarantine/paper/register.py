"""The register of animals by group: supplier, sex, treatment, acquired, sold, died."""

from collections.abc import Iterable
from datetime import tzinfo
from typing import Final

from facility.sockets.paper import Table
from quarantine.models import CountChange, Lot
from quarantine.queries.courses import CourseStanding
from quarantine.queries.records import Kept

_FISH: Final = frozenset({"FISH", "ELASMOBRANCH"})


def register_table(known: Kept) -> Table:
    """Seven fields for each group: SI 2018/486, Schedule 3, paragraph 2(1)."""
    columns = (
        "Lot",
        "Animals",
        "Supplier, full name",
        "Sex",
        "Age",
        "Veterinary treatment",
        "Acquired",
        "Sold",
        "Died",
        "Now",
    )
    rows = tuple(_registered(lot, known) for lot in known.lots)
    widths = (0.7, 1.5, 1.4, 0.7, 0.8, 1.5, 1.1, 1.1, 1.1, 0.5)
    return Table(columns, rows, widths)


def _registered(lot: Lot, known: Kept) -> tuple[str, ...]:
    zone, changes = known.site.zone, known.changes_of(lot)
    courses = known.courses_of(lot)
    return (
        lot.code,
        _animals(lot),
        lot.supplier.name if lot.supplier else "none: " + lot.get_made_display().lower(),
        lot.get_sex_display().lower(),
        _age(lot),
        "\n".join(_treated(one, zone) for one in courses) or "none on record",
        f"{lot.acquired_at.astimezone(zone):%Y-%m-%d}",
        _dated(changes, {"SOLD"}, zone),
        _dated(changes, {"DIED", "EUTHANISED", "DEAD_ON_ARRIVAL"}, zone),
        str(_remaining(lot, changes)),
    )


def _animals(lot: Lot) -> str:
    species = lot.species
    names = (species.scientific_name, species.vernacular_name)
    return "\n".join(name for name in names if name)


def _age(lot: Lot) -> str:
    """No age is asked for of fish; of what was bred here it follows from the date of birth."""
    if lot.species.group in _FISH:
        return "not asked for of fish"
    if lot.made == Lot.Made.BRED:
        return f"born {lot.acquired_at.astimezone(lot.site.zone):%Y-%m-%d}"
    return "not known"


def _treated(course: CourseStanding, zone: tzinfo) -> str:
    begun = course.course.happened_at.astimezone(zone)
    state = "" if course.is_cleared else ", not cleared: not to be sold"
    return f"{course.name} from {begun:%Y-%m-%d}{state}"


def _dated(changes: Iterable[CountChange], kinds: set[str], zone: tzinfo) -> str:
    """How many on which day, by days."""
    days: dict[str, int] = {}
    for row in changes:
        if row.kind in kinds:
            day = f"{row.happened_at.astimezone(zone):%Y-%m-%d}"
            days[day] = days.get(day, 0) + row.count
    return "\n".join(f"{day}: {count}" for day, count in days.items()) or "none"


def _remaining(lot: Lot, changes: Iterable[CountChange]) -> int:
    came = sum(row.count for row in changes if row.to_lot_id == lot.pk and row.to_vessel_id)
    went = sum(row.count for row in changes if row.from_lot_id == lot.pk)
    return came - went
