"""Alkalinity: its units, and what raises it.

1 meq/L = 50.04 mg/L CaCO₃ = 2.804 dKH by molar mass (1 dKH is 10 mg/L CaO, a French degree
10 mg/L CaCO₃, a Clark degree one grain of it in an imperial gallon). In print the roundings
50, 2.8, 17.8, 17.85 and 17.9 all occur. Oceanography counts per kilogram: in sea water
1 mmol/kg is 1.023 meq/L at 25 °C. Sodium bicarbonate and carbonate raise
alkalinity alike per equivalent but not pH: bicarbonate lowers a sea water of pH 8.0 until
carbon dioxide has left, carbonate raises it by about 0.28 for 0.5 meq/kg.
"""

from typing import Final

from chemistry.constants import (
    CALCIUM_CARBONATE_G_MOL,
    CALCIUM_OXIDE_G_MOL,
    IMPERIAL_GALLON_L,
    SODIUM_BICARBONATE_G_MOL,
    SODIUM_CARBONATE_G_MOL,
    US_GALLON_L,
)
from chemistry.domain import GRAMS, LITRES, SHARE_ABOVE_ZERO, Number, Range, within

RISE: Final = Range(name="alkalinity rise", unit="meq/L", low=0.0, high=50.0)

ALKALINITY: Final = Range(name="alkalinity", unit="meq/L", low=0.0, high=50.0)
DENSITY: Final = Range(name="density", unit="kg/L", low=0.95, high=1.1)

GRAIN_MG: Final = 64.79891  # definition, International Yard and Pound Agreement 1959
MG_L_CACO3_PER_MEQ_L: Final = CALCIUM_CARBONATE_G_MOL / 2
DKH_PER_MEQ_L: Final = CALCIUM_OXIDE_G_MOL / 2 / 10
MG_L_CACO3_PER_FRENCH_DEGREE: Final = 10.0
MG_L_CACO3_PER_CLARK_DEGREE: Final = GRAIN_MG / IMPERIAL_GALLON_L
MG_L_CACO3_PER_GRAIN_PER_US_GALLON: Final = GRAIN_MG / US_GALLON_L


def meq_l_from_dkh(*, alkalinity_dkh: Number) -> Number:
    return alkalinity_dkh / DKH_PER_MEQ_L


def dkh_from_meq_l(*, alkalinity_meq_l: Number) -> Number:
    return alkalinity_meq_l * DKH_PER_MEQ_L


def meq_l_from_caco3(*, alkalinity_mg_l_caco3: Number) -> Number:
    return alkalinity_mg_l_caco3 / MG_L_CACO3_PER_MEQ_L


def caco3_from_meq_l(*, alkalinity_meq_l: Number) -> Number:
    return alkalinity_meq_l * MG_L_CACO3_PER_MEQ_L


def meq_l_from_mmol_kg(*, alkalinity_mmol_kg: Number, density_kg_l: Number) -> Number:
    """Return alkalinity per litre; a millimole of alkalinity is a milliequivalent."""
    within(DENSITY, density_kg_l=density_kg_l)
    return alkalinity_mmol_kg * density_kg_l


def mmol_kg_from_meq_l(*, alkalinity_meq_l: Number, density_kg_l: Number) -> Number:
    within(DENSITY, density_kg_l=density_kg_l)
    return alkalinity_meq_l / density_kg_l


def sodium_bicarbonate_g(
    *, rise_meq_l: Number, volume_l: Number, purity: Number | float = 1.0
) -> Number:
    """Return grams of NaHCO₃ that lift ``volume_l`` by ``rise_meq_l``."""
    _check(rise_meq_l, volume_l, purity)
    return rise_meq_l * volume_l * SODIUM_BICARBONATE_G_MOL / 1000 / purity


def sodium_carbonate_g(
    *, rise_meq_l: Number, volume_l: Number, purity: Number | float = 1.0
) -> Number:
    """Return grams of anhydrous Na₂CO₃ that lift ``volume_l`` by ``rise_meq_l``."""
    _check(rise_meq_l, volume_l, purity)
    return rise_meq_l * volume_l * SODIUM_CARBONATE_G_MOL / 2 / 1000 / purity


def rise_from_bicarbonate_meq_l(
    *, bicarbonate_g: Number, volume_l: Number, purity: Number | float = 1.0
) -> Number:
    """Return the rise implied by the grams of NaHCO₃ really weighed out."""
    within(GRAMS, bicarbonate_g=bicarbonate_g)
    _check_water(volume_l, purity)
    return bicarbonate_g * purity * 1000 / SODIUM_BICARBONATE_G_MOL / volume_l


def rise_from_carbonate_meq_l(
    *, carbonate_g: Number, volume_l: Number, purity: Number | float = 1.0
) -> Number:
    """Return the rise implied by the grams of anhydrous Na₂CO₃ really weighed out."""
    within(GRAMS, carbonate_g=carbonate_g)
    _check_water(volume_l, purity)
    return carbonate_g * purity * 2000 / SODIUM_CARBONATE_G_MOL / volume_l


def _check(rise_meq_l: Number, volume_l: Number, purity: Number | float) -> None:
    within(RISE, rise_meq_l=rise_meq_l)
    _check_water(volume_l, purity)


def _check_water(volume_l: Number, purity: Number | float) -> None:
    within(LITRES, volume_l=volume_l)
    within(SHARE_ABOVE_ZERO, purity=purity)
