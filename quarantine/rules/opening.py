"""What happens to ammonia when a bag is opened into a tank's water. Pure.

In a sealed bag carbon dioxide keeps pH low and most ammonia bound; opened, pH climbs towards
the tank's and the un-ionised part with it. Checked against trade practice: TAN 5 mg/L as N is
0.007 at pH 6.4 and 0.16 at pH 7.8.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from chemistry.ammonia import unionised, unionised_mg_l_n
from chemistry.domain import OutOfRange
from chemistry.ph_scales import PhScale
from tanks.rules.values import (
    PARAMETERS,
    Interval,
    Unreadable,
    canonical,
    measure_of,
    parse_entry,
    spelled,
)

SAMPLED: Final = ("TEMPERATURE", "PH", "TAN", "SALINITY")
ADVICE: Final = (
    "Do not aerate the bag or leave it open. Get the animals out of its water as your protocol "
    "says, and put none of it into the tank."
)
_LEAST_JUMP: Final = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sampled:
    """One value read of the bag's water, as entered."""

    parameter: str
    text: str
    unit: str
    basis: str = ""

    @property
    def interval(self) -> Interval:
        entered = parse_entry(self.text)
        return canonical(
            self.parameter, entered.qualifier, entered.value, entered.upper, self.unit, self.basis
        )

    @property
    def spelled(self) -> str:
        return f"{self.text} {spelled(self.unit, self.basis)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tank:
    """What is known of the water they go into; None is not known."""

    ph: float | None
    temperature_c: float | None
    salinity_g_kg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Jump:
    """Un-ionised ammonia, mg/L as N, in the closed bag and at the tank's pH."""

    bag_mg_l_n: float
    opened_mg_l_n: float
    tank_ph: float
    method: str

    @property
    def factor(self) -> float:
        return self.opened_mg_l_n / self.bag_mg_l_n if self.bag_mg_l_n else 1.0

    @property
    def sentence(self) -> str:
        return (
            f"Opened, this bag's un-ionised ammonia goes from {_rounded(self.bag_mg_l_n)} to "
            f"{_rounded(self.opened_mg_l_n)} mg/L as N at the tank's pH {self.tank_ph:g}: "
            f"{self.factor:.0f} times as much ({self.method})."
        )


def problem_of(sampled: Sampled) -> str:
    """Return what is wrong with a value as entered; empty when it can be read."""
    if sampled.parameter not in SAMPLED:
        return "Of a bag only temperature, pH, TAN and salinity are kept."
    try:
        entered = parse_entry(sampled.text)
        measure = measure_of(sampled.parameter, sampled.unit, sampled.basis)
    except (Unreadable, ValueError) as error:
        return str(error)
    values = [float(each) for each in (entered.value, entered.upper) if each is not None]
    if any(not measure.low <= value <= measure.high for value in values):
        name = PARAMETERS[sampled.parameter]
        return f"{name} of {sampled.spelled} is out of any bag's range; read it again."
    return ""


def jump_of(sample: Sequence[Sampled], tank: Tank) -> Jump | None:
    """Return how un-ionised ammonia changes, or None when too little is known or it falls.

    At worst: the most TAN, the warmer water, and the fresher one where salinity is not known.
    """
    read = {one.parameter: one.interval for one in sample}
    if "TAN" not in read or "PH" not in read or tank.ph is None:
        return None
    warm_c = _warmest_c(read.get("TEMPERATURE"), tank.temperature_c)
    if warm_c is None:
        return None
    salt_g_kg = read["SALINITY"].low if "SALINITY" in read else tank.salinity_g_kg or 0.0
    tan_mg_l_n = read["TAN"].low if read["TAN"].high is None else read["TAN"].high
    try:
        closed = _at(read["PH"].low, warm_c, salt_g_kg)
        opened = _at(tank.ph, warm_c, salt_g_kg)
        return Jump(
            bag_mg_l_n=unionised_mg_l_n(tan_mg_l_n=tan_mg_l_n, fraction=closed[0]),
            opened_mg_l_n=unionised_mg_l_n(tan_mg_l_n=tan_mg_l_n, fraction=opened[0]),
            tank_ph=tank.ph,
            method=opened[1],
        )
    except OutOfRange:
        return None


def is_warning(jump: Jump, *, limit_mg_l_n: float) -> bool:
    """Whether the opened bag lies above the water's own limit and well above the closed one."""
    return jump.opened_mg_l_n > limit_mg_l_n and jump.factor >= _LEAST_JUMP


def _warmest_c(bag: Interval | None, tank_c: float | None) -> float | None:
    known = [tank_c] if tank_c is not None else []
    if bag is not None:
        known.append(bag.low if bag.high is None else bag.high)
    return max(known, default=None)


def _at(ph: float, temperature_c: float, salinity_g_kg: float) -> tuple[float, str]:
    told = unionised(
        ph=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg, ph_scale=PhScale.NBS
    )
    return told.fraction, told.method


def _rounded(value_mg_l_n: float) -> str:
    return f"{value_mg_l_n:.2g}"
