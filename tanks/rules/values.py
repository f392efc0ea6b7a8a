"""Values in any accepted unit and basis, and what they say in canonical units. Pure.

Canonical: mg/L as N, pH on its own scale, meq/L, °C, g/kg (practical salinity), mg/L oxygen,
mg/L chlorine as Cl₂. ``MEASURES`` is the closed list of what each parameter may be written in.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache, partial
from math import inf
from typing import Final

from chemistry.alkalinity import meq_l_from_caco3, meq_l_from_dkh
from chemistry.nitrogen import G_PER_G_N, Basis, to_nitrogen
from chemistry.oxygen import saturation_mg_l
from chemistry.salinity import (
    SIXTY_FAHRENHEIT_C,
    practical_salinity,
    salinity_from_specific_gravity,
)
from tanks.rules.entries import Entered as Entered
from tanks.rules.entries import Unreadable as Unreadable
from tanks.rules.entries import parse_entry as parse_entry

PARAMETERS: Final = {
    "TAN": "Total ammonia nitrogen",
    "NITRITE": "Nitrite",
    "NITRATE": "Nitrate",
    "PH": "pH",
    "ALKALINITY": "Alkalinity",
    "TEMPERATURE": "Temperature",
    "SALINITY": "Salinity",
    "OXYGEN": "Dissolved oxygen",
    "CHLORINE": "Total chlorine",
}

# What ``canonical`` answers in.
CANONICAL_UNITS: Final = {
    "TAN": "mg/L as N",
    "NITRITE": "mg/L as N",
    "NITRATE": "mg/L as N",
    "PH": "pH",
    "ALKALINITY": "meq/L",
    "TEMPERATURE": "degC",
    "SALINITY": "g/kg",
    "OXYGEN": "mg/L",
    "CHLORINE": "mg/L as Cl2",
}


class UnknownUnit(ValueError):  # noqa: N818  the house names refusals by what is so
    """The parameter is not written in this unit and basis; the sentence lists those it is."""


@dataclass(frozen=True, slots=True)
class Interval:
    """What a reading says in canonical units; ``high`` is None when it may be any amount more."""

    low: float
    high: float | None

    @property
    def is_exact(self) -> bool:
        return self.low == self.high

    @property
    def top(self) -> float:
        return inf if self.high is None else self.high

    def gap_to(self, other: "Interval") -> float:
        """How far apart the two lie at least; 0 when they overlap."""
        return max(self.low - other.top, other.low - self.top, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One way to write a parameter; ``low`` to ``high`` is what a tank's water can be at all."""

    unit: str
    basis: str = ""
    low: float
    high: float
    canonical: Callable[[float], float]


def canonical(
    parameter: str,
    qualifier: str,
    value: Decimal | float,
    upper: Decimal | float | None,
    unit: str,
    basis: str,
) -> Interval:
    """Return what the reading says in canonical units; below detection is never zero.

    Oxygen in per cent of saturation needs the water's temperature and salinity to become mg/L;
    here it spans what it may be in any water. ``oxygen_in`` narrows it.

    Raises:
        UnknownUnit: the unit and basis are not on the parameter's list.
    """
    measure = measure_of(parameter, unit, basis)
    if (unit, parameter) == ("%", "OXYGEN"):
        return _oxygen_anywhere(_interval(qualifier, float(value), upper, lambda share: share))
    return _interval(qualifier, float(value), upper, measure.canonical, floor=measure.low)


def measure_of(parameter: str, unit: str, basis: str) -> Measure:
    """Return how this parameter is written in ``unit`` on ``basis``.

    Raises:
        UnknownUnit
    """
    for measure in MEASURES.get(parameter, ()):
        if (measure.unit, measure.basis) == (unit, basis):
            return measure
    offered = ", ".join(spelled(measure.unit, measure.basis) for measure in measures(parameter))
    wrong = spelled(unit, basis) or "nothing"
    raise UnknownUnit(f"{PARAMETERS[parameter]} is not written in {wrong}; choose {offered}.")


def measures(parameter: str) -> tuple[Measure, ...]:
    return MEASURES.get(parameter, ())


def spelled(unit: str, basis: str) -> str:
    """``mg/L as NO2``; pH has a scale instead of a unit."""
    if unit == "pH":
        return f"pH ({basis} scale)"
    return f"{unit} as {basis}" if basis else unit


def oxygen_in(share: Interval, *, temperature_c: float, salinity_g_kg: float) -> Interval:
    """Return per cent of saturation as mg/L, at sea-level air pressure.

    Raises:
        OutOfRange: outside 0-40 °C or 0-40 g/kg.
    """
    full_mg_l = saturation_mg_l(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    high = None if share.high is None else share.high / 100 * full_mg_l
    return Interval(share.low / 100 * full_mg_l, high)


def _oxygen_anywhere(share: Interval) -> Interval:
    least = oxygen_in(share, temperature_c=40.0, salinity_g_kg=40.0)
    most = oxygen_in(share, temperature_c=0.0, salinity_g_kg=0.0)
    return Interval(least.low, most.high)


def _interval(
    qualifier: str,
    value: float,
    upper: Decimal | float | None,
    convert: Callable[[float], float],
    *,
    floor: float = 0.0,
) -> Interval:
    at = convert(value)
    if qualifier == "BELOW":
        return Interval(convert(floor), at)
    if qualifier == "ABOVE":
        return Interval(at, None)
    return Interval(at, convert(float(upper)) if upper is not None else at)


@lru_cache(maxsize=4096)
def _from_gravity(gravity: float, *, temperature_c: float) -> float:
    return salinity_from_specific_gravity(
        specific_gravity=gravity, water_c=temperature_c, reference_c=temperature_c
    )


def _from_conductivity(conductivity_ms_cm: float) -> float:
    return practical_salinity(conductivity_ms_cm=conductivity_ms_cm, temperature_c=25.0)


def _celsius(temperature_f: float) -> float:
    return (temperature_f - 32) / 1.8


def _as_written(value: float) -> float:
    return value


def _nitrogen(most_mg_l_n: float, *bases: Basis) -> Iterator[Measure]:
    for basis in bases:
        high = round(most_mg_l_n * G_PER_G_N[basis])
        convert = partial(to_nitrogen, basis=basis)
        yield Measure(unit="mg/L", basis=basis.value, low=0, high=high, canonical=convert)


def _gravity(unit: str, temperature_c: float) -> Measure:
    convert = partial(_from_gravity, temperature_c=temperature_c)
    return Measure(unit=unit, low=1.0, high=1.0316, canonical=convert)


# What no tank holds, wide on purpose: common practice, no source. pH 0-14 is the printed scale;
# -2 °C is where sea water freezes; the salinity formulas end at 42 (PSS-78, TEOS-10).
MEASURES: Final[dict[str, tuple[Measure, ...]]] = {
    "TAN": tuple(_nitrogen(1000, Basis.N, Basis.NH3, Basis.NH4)),
    "NITRITE": tuple(_nitrogen(1000, Basis.N, Basis.NO2)),
    "NITRATE": tuple(_nitrogen(5000, Basis.N, Basis.NO3)),
    "PH": (
        Measure(unit="pH", basis="NBS", low=0, high=14, canonical=_as_written),
        Measure(unit="pH", basis="TOTAL", low=0, high=14, canonical=_as_written),
    ),
    "ALKALINITY": (
        Measure(unit="meq/L", low=0, high=50, canonical=_as_written),
        Measure(
            unit="dKH", low=0, high=140, canonical=lambda dkh: meq_l_from_dkh(alkalinity_dkh=dkh)
        ),
        Measure(
            unit="mg/L",
            basis="CaCO3",
            low=0,
            high=2500,
            canonical=lambda mg_l: meq_l_from_caco3(alkalinity_mg_l_caco3=mg_l),
        ),
    ),
    "TEMPERATURE": (
        Measure(unit="degC", low=-2, high=45, canonical=_as_written),
        Measure(unit="degF", low=28.4, high=113, canonical=_celsius),
    ),
    "SALINITY": (
        Measure(unit="g/kg", low=0, high=42, canonical=_as_written),
        _gravity("SG 20/20", 20.0),
        _gravity("SG 25/25", 25.0),
        _gravity("SG 60/60F", SIXTY_FAHRENHEIT_C),
        Measure(unit="mS/cm at 25", low=0, high=62, canonical=_from_conductivity),
    ),
    "OXYGEN": (
        Measure(unit="mg/L", low=0, high=60, canonical=_as_written),
        Measure(unit="%", low=0, high=500, canonical=_as_written),
    ),
    "CHLORINE": (Measure(unit="mg/L", basis="Cl2", low=0, high=50, canonical=_as_written),),
}
