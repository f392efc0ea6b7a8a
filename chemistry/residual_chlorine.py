"""A reading of total chlorine against the limits for aquatic life, and what a test can see.

US EPA (1985), EPA 440/5-84-030: 1-hour and 4-day averages in µg/L, as Cl₂ in fresh water and as
chlorine-produced oxidants in salt. Most strips cannot show 0.02 mg/L, so their "0" says nothing.
"""

from dataclasses import dataclass
from typing import Final

from chemistry.criteria import (
    FRESH_CHLORINE_ACUTE_UG_L_CL2,
    FRESH_CHLORINE_CHRONIC_UG_L_CL2,
    SALT_CHLORINE_ACUTE_UG_L_CL2,
    SALT_CHLORINE_CHRONIC_UG_L_CL2,
)
from chemistry.dechlorination import CHLORINE
from chemistry.domain import Range, within

DETECTION: Final = Range(
    name="smallest total chlorine the test shows", unit="mg/L as Cl2", low=1e-4, high=10.0
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ResidualChlorine:
    """``shows_acute`` says whether the test can see the 1-hour limit at all."""

    acute_mg_l_cl2: float
    chronic_mg_l_cl2: float
    times_acute: float
    times_chronic: float
    shows_acute: bool
    shows_chronic: bool

    @property
    def is_evidence_of_none(self) -> bool:
        """A reading under the 4-day limit, by a test that would have shown it."""
        return self.shows_chronic and self.times_chronic < 1


def residual_chlorine(
    *, total_chlorine_mg_l_cl2: float, smallest_shown_mg_l_cl2: float, is_salt_water: bool
) -> ResidualChlorine:
    within(CHLORINE, total_chlorine_mg_l_cl2=total_chlorine_mg_l_cl2)
    within(DETECTION, smallest_shown_mg_l_cl2=smallest_shown_mg_l_cl2)
    acute, chronic = _limits_mg_l(is_salt_water=is_salt_water)
    return ResidualChlorine(
        acute_mg_l_cl2=acute,
        chronic_mg_l_cl2=chronic,
        times_acute=total_chlorine_mg_l_cl2 / acute,
        times_chronic=total_chlorine_mg_l_cl2 / chronic,
        shows_acute=smallest_shown_mg_l_cl2 <= acute,
        shows_chronic=smallest_shown_mg_l_cl2 <= chronic,
    )


def _limits_mg_l(*, is_salt_water: bool) -> tuple[float, float]:
    if is_salt_water:
        return SALT_CHLORINE_ACUTE_UG_L_CL2 / 1000, SALT_CHLORINE_CHRONIC_UG_L_CL2 / 1000
    return FRESH_CHLORINE_ACUTE_UG_L_CL2 / 1000, FRESH_CHLORINE_CHRONIC_UG_L_CL2 / 1000
