"""A count of drops as a volume with its error.

USP 32 <1101>: the pharmacopoeial dropper gives 20 drops of 45-55 mg per mL of water and the
delivered volume may be off by 15 %. Other tips range from 13 to 126 mg a drop (Eschbaum 1895),
so a counted dose is a guess until this bottle's drops have been counted into a measure.
"""

from dataclasses import dataclass
from typing import Final

from chemistry.domain import LITRES, Number, Range, within
from chemistry.solutions import STRENGTH

COUNT: Final = Range(name="number of drops", unit="drops", low=0, high=10_000)
COUNTED: Final = Range(name="number of drops counted", unit="drops", low=10, high=10_000)
DROP: Final = Range(name="size of a drop", unit="mL", low=0.005, high=0.2)
ERROR: Final = Range(name="relative error of a drop", unit="", low=0.0, high=0.9)
CAUGHT: Final = Range(name="volume caught", unit="mL", low=0.05, high=2000.0)

PHARMACOPOEIAL_DROP_ML: Final = 0.05
PHARMACOPOEIAL_ERROR: Final = 0.15
# A bottle held at another angle drops otherwise; common practice, no source.
COUNTED_ERROR: Final = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class DropVolume:
    """What was probably delivered, and between which bounds."""

    volume_ml: float
    low_ml: float
    high_ml: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DropRise:
    """What the drops probably raised the water by, and between which bounds."""

    rise_mg_l: float
    low_mg_l: float
    high_mg_l: float


def volume_of_drops(
    *,
    drops: float,
    drop_ml: float = PHARMACOPOEIAL_DROP_ML,
    relative_error: float = PHARMACOPOEIAL_ERROR,
) -> DropVolume:
    within(COUNT, drops=drops)
    within(DROP, drop_ml=drop_ml)
    within(ERROR, relative_error=relative_error)
    volume_ml = drops * drop_ml
    return DropVolume(
        volume_ml=volume_ml,
        low_ml=volume_ml * (1 - relative_error),
        high_ml=volume_ml * (1 + relative_error),
    )


def rise_of_drops(
    *, drops: float, solution_g_l: float, volume_l: float, drop_ml: float, relative_error: float
) -> DropRise:
    """Return the rise in what ``solution_g_l`` counts, with the drops' error."""
    within(STRENGTH, solution_g_l=solution_g_l)
    within(LITRES, volume_l=volume_l)
    poured = volume_of_drops(drops=drops, drop_ml=drop_ml, relative_error=relative_error)
    per_ml = solution_g_l / volume_l
    return DropRise(
        rise_mg_l=poured.volume_ml * per_ml,
        low_mg_l=poured.low_ml * per_ml,
        high_mg_l=poured.high_ml * per_ml,
    )


def drop_ml(*, caught_ml: Number, drops: Number) -> Number:
    """Return the size of this bottle's drop from counting it into a measure or onto scales.

    A gram of watery solution caught is taken for a millilitre.

    Raises:
        OutOfRange: fewer than ten drops, or a size no dropper has.
    """
    within(CAUGHT, caught_ml=caught_ml)
    within(COUNTED, drops=drops)
    size_ml = caught_ml / drops
    within(DROP, caught_ml=size_ml)
    return size_ml
