"""Removing chlorine and chloramine, and the ammonia that chloramine leaves behind.

Thiosulfate: 2 S₂O₃²⁻ + Cl₂ → S₄O₆²⁻ + 2 Cl⁻ needs 7.0 mg of the pentahydrate per mg Cl₂,
the figure used in laboratories; 1:1 and 1:4 reactions (3.5 and 0.9 mg) are reached only at
high pH and long contact, so they are not offered. Always test again for *total* chlorine.

Chloramine, reported by tests as Cl₂, frees 1 mol NH₃ per mol Cl₂ when it is reduced. A
utility's excess ammonia comes on top.
"""

from typing import Final

from chemistry.constants import (
    DICHLORINE_G_MOL,
    NITROGEN_G_MOL,
    SODIUM_THIOSULFATE_PENTAHYDRATE_G_MOL,
)
from chemistry.domain import LITRES, SHARE_ABOVE_ZERO, Range, within

CHLORINE: Final = Range(name="total chlorine", unit="mg/L as Cl2", low=0.0, high=1000.0)

THIOSULFATE_PENTAHYDRATE_MG_PER_MG_CL2: Final = (
    2 * SODIUM_THIOSULFATE_PENTAHYDRATE_G_MOL / DICHLORINE_G_MOL
)
TAN_MG_N_PER_MG_CL2: Final = NITROGEN_G_MOL / DICHLORINE_G_MOL


def thiosulfate_pentahydrate_g(
    *, total_chlorine_mg_l_cl2: float, volume_l: float, purity: float = 1.0
) -> float:
    """Return grams of Na₂S₂O₃·5H₂O that take up the total chlorine of ``volume_l``."""
    within(CHLORINE, total_chlorine_mg_l_cl2=total_chlorine_mg_l_cl2)
    within(LITRES, volume_l=volume_l)
    within(SHARE_ABOVE_ZERO, purity=purity)
    chlorine_g = total_chlorine_mg_l_cl2 * volume_l / 1000
    return chlorine_g * THIOSULFATE_PENTAHYDRATE_MG_PER_MG_CL2 / purity


def tan_freed_mg_l_n(*, chloramine_mg_l_cl2: float) -> float:
    """Return the TAN left when monochloramine, read as Cl₂, has been reduced."""
    within(CHLORINE, chloramine_mg_l_cl2=chloramine_mg_l_cl2)
    return chloramine_mg_l_cl2 * TAN_MG_N_PER_MG_CL2
