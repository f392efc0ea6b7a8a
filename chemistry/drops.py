"""A count of drops as a volume with its error.

USP 32 <1101>: the pharmacopoeial dropper gives 20 drops of 45-55 mg per mL of water and the
delivered volume may be off by 15 %. Other tips range from 13 to 126 mg a drop, so a
counted dose is a guess until the dropper has been weighed.
"""

from dataclasses import dataclass
from typing import Final

from chemistry.domain import Range, within

COUNT: Final = Range(name="number of drops", unit="drops", low=0, high=10_000)
DROP: Final = Range(name="size of a drop", unit="mL", low=0.005, high=0.2)
ERROR: Final = Range(name="relative error of a drop", unit="", low=0.0, high=0.9)

PHARMACOPOEIAL_DROP_ML: Final = 0.05
PHARMACOPOEIAL_ERROR: Final = 0.15


@dataclass(frozen=True, slots=True, kw_only=True)
class DropVolume:
    """What was probably delivered, and between which bounds."""

    volume_ml: float
    low_ml: float
    high_ml: float


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
