"""Alkalinity: its three usual units, and what raises it.

1 meq/L = 50.04 mg/L CaCO₃ = 2.804 dKH by molar mass (1 dKH is 10 mg/L CaO). In print the
roundings 50, 2.8, 17.8, 17.85 and 17.9 all occur. Sodium bicarbonate and carbonate raise
alkalinity alike per equivalent but not pH: bicarbonate lowers a sea water of pH 8.0 until
carbon dioxide has left, carbonate raises it by about 0.28 for 0.5 meq/kg.
"""

from typing import Final

from chemistry.constants import (
    CALCIUM_CARBONATE_G_MOL,
    CALCIUM_OXIDE_G_MOL,
    SODIUM_BICARBONATE_G_MOL,
    SODIUM_CARBONATE_G_MOL,
)
from chemistry.domain import LITRES, SHARE_ABOVE_ZERO, Range, within

RISE: Final = Range(name="alkalinity rise", unit="meq/L", low=0.0, high=50.0)

MG_L_CACO3_PER_MEQ_L: Final = CALCIUM_CARBONATE_G_MOL / 2
DKH_PER_MEQ_L: Final = CALCIUM_OXIDE_G_MOL / 2 / 10


def meq_l_from_dkh(*, alkalinity_dkh: float) -> float:
    return alkalinity_dkh / DKH_PER_MEQ_L


def dkh_from_meq_l(*, alkalinity_meq_l: float) -> float:
    return alkalinity_meq_l * DKH_PER_MEQ_L


def meq_l_from_caco3(*, alkalinity_mg_l_caco3: float) -> float:
    return alkalinity_mg_l_caco3 / MG_L_CACO3_PER_MEQ_L


def caco3_from_meq_l(*, alkalinity_meq_l: float) -> float:
    return alkalinity_meq_l * MG_L_CACO3_PER_MEQ_L


def sodium_bicarbonate_g(*, rise_meq_l: float, volume_l: float, purity: float = 1.0) -> float:
    """Return grams of NaHCO₃ that lift ``volume_l`` by ``rise_meq_l``."""
    _check(rise_meq_l, volume_l, purity)
    return rise_meq_l * volume_l * SODIUM_BICARBONATE_G_MOL / 1000 / purity


def sodium_carbonate_g(*, rise_meq_l: float, volume_l: float, purity: float = 1.0) -> float:
    """Return grams of anhydrous Na₂CO₃ that lift ``volume_l`` by ``rise_meq_l``."""
    _check(rise_meq_l, volume_l, purity)
    return rise_meq_l * volume_l * SODIUM_CARBONATE_G_MOL / 2 / 1000 / purity


def rise_from_bicarbonate_meq_l(
    *, bicarbonate_g: float, volume_l: float, purity: float = 1.0
) -> float:
    """Return the rise implied by the grams of NaHCO₃ really weighed out."""
    within(LITRES, volume_l=volume_l)
    within(SHARE_ABOVE_ZERO, purity=purity)
    return bicarbonate_g * purity * 1000 / SODIUM_BICARBONATE_G_MOL / volume_l


def _check(rise_meq_l: float, volume_l: float, purity: float) -> None:
    within(RISE, rise_meq_l=rise_meq_l)
    within(LITRES, volume_l=volume_l)
    within(SHARE_ABOVE_ZERO, purity=purity)
