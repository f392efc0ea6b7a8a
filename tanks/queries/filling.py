"""What a water says of itself, put as somebody would type it into a calculation."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Final

from chemistry.calculator.terms import Ask, Calculation, Choice, Input, offered
from chemistry.domain import OutOfRange
from chemistry.ph_scales import PhScale
from chemistry.units import WrongUnit, magnitude
from facility.models import Person, Site
from facility.rules.wording import age, day_and_time, written
from tanks.models import Reading
from tanks.queries.dosing import middle
from tanks.queries.estate import volumes
from tanks.queries.measures import measured
from tanks.queries.policies import policy_at
from tanks.queries.readings import latest_in
from tanks.queries.waters import Water, waters
from tanks.rules.measured import Measured
from tanks.rules.values import CANONICAL_UNITS, Interval, oxygen_in, spelled

_SCALES: Final = frozenset(PhScale)
_FEW: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """``text`` in ``unit`` as it would be typed; empty where the water has no number for it.

    ``says`` is where it comes from, ``warnings`` why not to lean on it.
    """

    text: str
    unit: str
    says: str
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ground:
    water: Water
    latest: Mapping[str, Reading]
    fresh_for: timedelta | None


def waters_open_to(person: Person, *, at: datetime) -> list[tuple[Site, list[Water]]]:
    """Return every water the person may look at, site by site."""
    sites = Site.objects.open_to(person).order_by("name", "pk")
    return [(site, waters(site, at=at)) for site in sites]


def fillings(calculation: Calculation, water: Water) -> dict[str, Filled]:
    """Return what the water answers of a calculation's asks, by ask, as of the water's moment."""
    policy = policy_at(water.anchor.site, at=water.at)
    hours = None if policy is None else float(policy.reading_fresh_hours)
    ground = _Ground(
        water=water,
        latest=latest_in(water),
        fresh_for=None if hours is None else timedelta(hours=hours),
    )
    found = ((ask.name, _filled(ask, ground)) for ask in calculation.asks)
    return {name: filled for name, filled in found if filled is not None}


def _filled(ask: Ask, ground: _Ground) -> Filled | None:
    if isinstance(ask, Choice):
        return _scale(ask, ground)
    if not isinstance(ask, Input) or not ask.fills_from:
        return None
    if ask.fills_from == "volume":
        return _volume(ask, ground.water)
    reading = ground.latest.get(ask.fills_from.upper())
    return None if reading is None else _from_reading(ask, reading, ground)


def _scale(ask: Choice, ground: _Ground) -> Filled | None:
    """A pH is worth nothing without its scale: that of the reading which fills it."""
    values = {option.value for option in ask.options}
    reading = ground.latest.get(Reading.Parameter.PH)
    if reading is None or not values <= _SCALES:
        return None
    scale = next((value for value in values if value.upper() == reading.basis), None)
    if scale is None:
        return None
    return Filled(text=scale, unit="", says="The scale of the pH reading.")


def _volume(ask: Input, water: Water) -> Filled:
    if water.litres is None:
        codes = ", ".join(vessel.code for vessel in water.unmeasured)
        return Filled(text="", unit=ask.unit, says=f"Net volume unknown: {codes} not measured.")
    litres = written(Decimal(f"{water.litres:.2f}"))
    return Filled(text=litres, unit=ask.unit, says=f"Net volume: {'; '.join(_known_by(water))}.")


def _known_by(water: Water) -> Iterator[str]:
    known = volumes(water.member_ids, at=water.at)
    if len(known) <= _FEW:
        for member in water.members:
            volume = known[member.pk]
            litres, means = written(volume.litres), volume.get_means_display().lower()
            yield f"{member.code} {litres} L by {means}, {age(volume.happened_at, now=water.at)}"
        return
    yield f"{len(known)} vessels"
    means_told = [volume.get_means_display().lower() for volume in known.values()]
    for means in sorted(set(means_told)):
        yield f"{means_told.count(means)} by {means}"
    oldest = min(volume.happened_at for volume in known.values())
    yield f"the oldest measured {age(oldest, now=water.at)}"


def _from_reading(ask: Input, reading: Reading, ground: _Ground) -> Filled:
    told = measured(reading)
    number = _number(ask, reading, told, ground.latest)
    text, unit = ("", ask.unit) if number is None else number
    return Filled(
        text=text,
        unit=unit,
        says=_says(reading, told, ground.water),
        warnings=(*_doubts(reading, told, text), *_staleness(reading, ground)),
    )


def _says(reading: Reading, told: Measured, water: Water) -> str:
    elsewhere = "" if reading.vessel_id == water.anchor.pk else f" in {reading.vessel.code}"
    how_old = age(reading.happened_at, now=water.at)
    when = day_and_time(reading.happened_at, zone=water.anchor.site.zone)
    known = f"{reading.method}, {reading.by.full_name}"
    return f"Read {told.text}{elsewhere} {how_old}, {when}; {known}."


def _number(
    ask: Input, reading: Reading, told: Measured, latest: Mapping[str, Reading]
) -> tuple[str, str] | None:
    """The upper end of what was read: in the reading's own unit where it is offered."""
    own = spelled(reading.unit, reading.basis)
    edge = reading.upper if reading.upper is not None else reading.value
    is_as_written = reading.qualifier != Reading.Qualifier.EQUAL or told.low == told.high
    if reading.qualifier == Reading.Qualifier.ABOVE:
        return None
    if is_as_written and (unit := _same(own, offered(ask))):
        return written(edge), unit
    return _canonical(ask, reading, told, latest)


def _same(unit: str, units: Collection[str]) -> str | None:
    """``mg/L as CaCO3`` and ``mg/L CaCO3`` are one."""
    return next(
        (each for each in units if each.replace(" as ", " ") == unit.replace(" as ", " ")), None
    )


def _canonical(
    ask: Input, reading: Reading, told: Measured, latest: Mapping[str, Reading]
) -> tuple[str, str] | None:
    is_share = (reading.parameter, reading.unit) == (Reading.Parameter.OXYGEN, "%")
    high = _oxygen_mg_l(reading, latest) if is_share else told.high
    if high is None:
        return None
    try:
        unit = CANONICAL_UNITS[reading.parameter]
        value = magnitude(high, unit, to=ask.unit) if ask.unit else high
    except WrongUnit:
        return None
    return f"{value:.4g}", ask.unit


def _oxygen_mg_l(reading: Reading, latest: Mapping[str, Reading]) -> float | None:
    temperature = latest.get(Reading.Parameter.TEMPERATURE)
    salinity = latest.get(Reading.Parameter.SALINITY)
    if temperature is None:
        return None
    share = float(reading.value if reading.upper is None else reading.upper)
    try:
        return oxygen_in(
            Interval(share, share),
            temperature_c=middle(temperature.interval),
            salinity_g_kg=0.0 if salinity is None else middle(salinity.interval),
        ).high
    except OutOfRange:
        return None


def _doubts(reading: Reading, told: Measured, text: str) -> Iterator[str]:
    match reading.qualifier:
        case Reading.Qualifier.ABOVE:
            yield "Over range: there is no number to use. Dilute the sample and read again."
        case Reading.Qualifier.BELOW:
            yield f"Below what the method can tell: its limit, {text}, is used."
        case Reading.Qualifier.BETWEEN:
            yield f"Between two steps: the upper one, {text}, is used."
        case _ if text and told.low != told.high and reading.unit != "%":
            yield "A zero off a colour kit says only: below its first step, which is used."
    if not text and reading.qualifier != Reading.Qualifier.ABOVE:
        yield "It cannot be turned into what is asked here: type it."


def _staleness(reading: Reading, ground: _Ground) -> Iterator[str]:
    if ground.fresh_for is None:
        return
    if ground.water.at - reading.happened_at > ground.fresh_for:
        hours = written(ground.fresh_for / timedelta(hours=1))
        yield f"Older than the {hours} h that the policy counts as fresh: read it again."
