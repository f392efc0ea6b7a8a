"""Dissolved oxygen for aquatic life in fresh water, US EPA (1986), EPA 440/5-86-003.

The numbers as listed in the agency's own table of criteria; a mean-minimum is the 7-day mean of
the daily minima. For water with embryos and larvae in the open; eggs in gravel need more.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final


class Fauna(StrEnum):
    """Which fish the limit was set for."""

    WARM_EARLY = "warm water, with eggs, larvae or young"
    WARM_OTHER = "warm water, older fish only"
    COLD_EARLY = "cold water (salmonids), with eggs, larvae or young"
    COLD_OTHER = "cold water (salmonids), older fish only"


@dataclass(frozen=True, slots=True, kw_only=True)
class OxygenLimit:
    """The least oxygen, mg/L; None where the agency set no such average."""

    mean_30_days_mg_l: float | None
    mean_7_days_mg_l: float | None
    mean_minimum_7_days_mg_l: float | None
    minimum_1_day_mg_l: float


EPA_1986: Final = {
    Fauna.WARM_EARLY: OxygenLimit(
        mean_30_days_mg_l=None,
        mean_7_days_mg_l=6.0,
        mean_minimum_7_days_mg_l=None,
        minimum_1_day_mg_l=5.0,
    ),
    Fauna.WARM_OTHER: OxygenLimit(
        mean_30_days_mg_l=5.5,
        mean_7_days_mg_l=None,
        mean_minimum_7_days_mg_l=4.0,
        minimum_1_day_mg_l=3.0,
    ),
    Fauna.COLD_EARLY: OxygenLimit(
        mean_30_days_mg_l=None,
        mean_7_days_mg_l=9.5,
        mean_minimum_7_days_mg_l=None,
        minimum_1_day_mg_l=8.0,
    ),
    Fauna.COLD_OTHER: OxygenLimit(
        mean_30_days_mg_l=6.5,
        mean_7_days_mg_l=None,
        mean_minimum_7_days_mg_l=5.0,
        minimum_1_day_mg_l=4.0,
    ),
}
