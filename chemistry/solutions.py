"""What "5 %" means, making a stock and thinning it.

A percentage without its kind is a guess: 5 % w/v is 50 g in a litre of solution; 5 % w/w is
50 g in a kilogram of it, so its density is needed. Some liquids (formalin) are counted whole:
"37 %" must not be corrected for twice.
"""

from enum import StrEnum
from typing import Final

from chemistry.domain import (
    CONCENTRATION,
    LITRES,
    SHARE_ABOVE_ZERO,
    Number,
    OutOfRange,
    Range,
    within,
)
from chemistry.dosing import MILLILITRES, SOLUTION_DENSITY
from chemistry.salts import FACTS, Salt, stock_limit_g_l

PERCENT: Final = Range(name="strength", unit="%", low=0.001, high=100.0)
STRENGTH: Final = Range(name="strength", unit="g/L", low=1e-4, high=1500.0)
POURED: Final = Range(name="volume poured", unit="mL", low=1e-6, high=1e8)
THINNED: Final = Range(
    name="wanted strength as a share of the strong one's", unit="", low=0.0, high=1.0
)


class Percent(StrEnum):
    WEIGHT_IN_VOLUME = "w/v"
    WEIGHT_IN_WEIGHT = "w/w"


def strength_g_l(*, percent: Number, kind: Percent, density_kg_l: Number) -> Number:
    """Return grams in a litre of solution; the density counts for w/w only."""
    within(PERCENT, percent=percent)
    within(SOLUTION_DENSITY, density_kg_l=density_kg_l)
    in_water_g_l = percent * 10
    return in_water_g_l * density_kg_l if kind is Percent.WEIGHT_IN_WEIGHT else in_water_g_l


def stock_salt_g(*, salt: Salt, stock_g_l: float, stock_ml: float, purity: float = 1.0) -> float:
    """Return grams to dissolve and make up to ``stock_ml``.

    Raises:
        OutOfRange: so much would not stay dissolved at 10 °C.
    """
    limit = Range(
        name=f"strength of {salt}",
        unit="g/L",
        low=0.01,
        high=stock_limit_g_l(salt),
        source=f"what stays dissolved at 10 °C; {FACTS[salt].source}",
    )
    within(limit, stock_g_l=stock_g_l)
    within(MILLILITRES, stock_ml=stock_ml)
    within(SHARE_ABOVE_ZERO, purity=purity)
    return stock_g_l * stock_ml / 1000 / purity


def strong_ml(*, strong_g_l: Number, wanted_g_l: Number, wanted_ml: Number) -> Number:
    """Return millilitres of the strong solution to make up to ``wanted_ml``: C1 V1 = C2 V2.

    Raises:
        OutOfRange: the wanted strength is above the strong solution's.
    """
    within(STRENGTH, strong_g_l=strong_g_l, wanted_g_l=wanted_g_l)
    within(MILLILITRES, wanted_ml=wanted_ml)
    share = wanted_g_l / strong_g_l
    outside = THINNED.first_outside(share)
    if outside is not None:
        raise OutOfRange(THINNED, field="wanted_g_l", value=outside)
    return wanted_ml * share


def dose_ml(
    *, rise_mg_l: Number, volume_l: Number, solution_g_l: Number, active_share: Number
) -> Number:
    """Return millilitres of a solution that raise ``volume_l`` by ``rise_mg_l``.

    ``active_share`` is what is counted in a gram of the substance dissolved.
    """
    within(CONCENTRATION, rise_mg_l=rise_mg_l)
    within(LITRES, volume_l=volume_l)
    within(STRENGTH, solution_g_l=solution_g_l)
    within(SHARE_ABOVE_ZERO, active_share=active_share)
    return rise_mg_l * volume_l / (solution_g_l * active_share)


def rise_of_ml(
    *, poured_ml: Number, volume_l: Number, solution_g_l: Number, active_share: Number
) -> Number:
    """Return the rise of what was really poured: the inverse of ``dose_ml``."""
    within(MILLILITRES, poured_ml=poured_ml)
    within(LITRES, volume_l=volume_l)
    within(STRENGTH, solution_g_l=solution_g_l)
    within(SHARE_ABOVE_ZERO, active_share=active_share)
    return poured_ml * solution_g_l * active_share / volume_l


def labelled_strength_g_l(*, rise_mg_l: Number, volume_l: Number, poured_ml: Number) -> Number:
    """Return the strength that a label's "so much in so much water gives so much" implies."""
    within(CONCENTRATION, rise_mg_l=rise_mg_l)
    within(LITRES, volume_l=volume_l)
    within(POURED, poured_ml=poured_ml)
    return rise_mg_l * volume_l / poured_ml
