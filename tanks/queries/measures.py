"""Readings as the rules of proof see them."""

from collections.abc import Iterable, Iterator, Mapping
from uuid import UUID

from chemistry.domain import OutOfRange
from chemistry.oxygen import saturation_mg_l
from facility.rules.wording import unit_and_basis
from tanks.models import Method, Reading
from tanks.queries.current import is_standing
from tanks.rules.measured import Measured
from tanks.rules.values import Interval, canonical

_PERCENT = 100.0
_BY_COLOUR = frozenset({"TAN", "NITRITE", "NITRATE", "CHLORINE"})


def measured(reading: Reading, *, people: frozenset[UUID] | None = None) -> Measured:
    """Return the reading with its edges in canonical units; oxygen stays in what it was read."""
    edges = _below_first_step(reading) if _is_palest(reading) else reading.interval
    return Measured(
        id=reading.pk,
        parameter=reading.parameter,
        at=reading.happened_at,
        people=people or frozenset([reading.by_id]),
        method=reading.method_id,
        method_name=reading.method.name,
        method_kind=reading.method.kind,
        low=edges.low,
        high=edges.high,
        text=written(reading),
    )


def _is_palest(reading: Reading) -> bool:
    """A zero off a colour kit, which nobody has told the lowest value it can see."""
    is_plain = reading.method.kind == Method.Kind.COLOUR_KIT and reading.method.lowest is None
    is_nothing = reading.qualifier == Reading.Qualifier.EQUAL and reading.value == 0
    return is_plain and is_nothing and reading.parameter in _BY_COLOUR


def _below_first_step(reading: Reading) -> Interval:
    """The palest field says: less than the next one. Without steps it says nothing."""
    method = reading.method
    step = next((step for step in method.steps if step > 0), None)
    if step is None:
        return Interval(0.0, None)
    return canonical(method.parameter, "BELOW", step, None, method.unit, method.basis)


def written(reading: Reading) -> str:
    """The reading as entered, with its unit and basis: ``<0.25 mg/L as NH₄``."""
    if reading.parameter == Reading.Parameter.PH:
        return reading.as_entered
    return f"{reading.as_entered} {unit_and_basis(reading.unit, reading.basis)}"


def measures_of(readings: Iterable[Reading]) -> Iterator[Measured]:
    """Yield those of ``readings`` now held true, each with everybody who took or corrected it."""
    by_id = {row.pk: row for row in readings}
    for row in by_id.values():
        if is_standing(row):
            yield measured(row, people=_people(row, by_id))


def standing_measure(reading_id: UUID, readings: Iterable[Reading]) -> Measured | None:
    """What now stands in the place of that reading, or None when it was taken back."""
    by_id = {row.pk: row for row in readings}
    followers = {row.corrects_id: row for row in by_id.values() if row.corrects_id}
    row = by_id.get(reading_id)
    while row is not None and row.pk in followers:
        row = followers[row.pk]
    return measured(row, people=_people(row, by_id)) if row and is_standing(row) else None


def latest_measures(latest: Mapping[str, Reading]) -> dict[str, Measured]:
    """The latest reading of each parameter, oxygen as % of saturation where that can be told."""
    found = {name: measured(row) for name, row in latest.items() if name != "OXYGEN"}
    if "OXYGEN" in latest:
        oxygen = _share_of_saturation(latest["OXYGEN"], found)
        found |= {"OXYGEN": oxygen} if oxygen else {}
    return found


def _share_of_saturation(reading: Reading, others: Mapping[str, Measured]) -> Measured | None:
    if reading.unit == "%":
        return _with_edges(reading, 1.0)
    temperature = others.get("TEMPERATURE")
    if temperature is None:
        return None
    salinity = others.get("SALINITY")
    try:
        full_mg_l = saturation_mg_l(
            temperature_c=temperature.low, salinity_g_kg=salinity.low if salinity else 0.0
        )
    except OutOfRange:
        return None
    return _with_edges(reading, _PERCENT / full_mg_l)


def _with_edges(reading: Reading, factor: float) -> Measured:
    value = float(reading.value) * factor
    upper = None if reading.upper is None else float(reading.upper) * factor
    low = 0.0 if reading.qualifier == Reading.Qualifier.BELOW else value
    high = None if reading.qualifier == Reading.Qualifier.ABOVE else upper or value
    return Measured(
        id=reading.pk,
        parameter=reading.parameter,
        at=reading.happened_at,
        people=frozenset([reading.by_id]),
        method=reading.method_id,
        method_name=reading.method.name,
        method_kind=reading.method.kind,
        low=low,
        high=high,
        text=written(reading),
    )


def _people(reading: Reading, by_id: Mapping[UUID, Reading]) -> frozenset[UUID]:
    people, row = {reading.by_id}, reading
    while row.corrects_id is not None and row.corrects_id in by_id:
        row = by_id[row.corrects_id]
        people.add(row.by_id)
    return frozenset(people)
