"""Bleach for *empty* equipment: its strength as available chlorine, and the millilitres.

Available chlorine is what the hypochlorite oxidises, counted as Cl₂: one NaOCl counts as one Cl₂.
A label may say sodium hypochlorite or available chlorine, by weight or by volume; 5.25 % NaOCl
by weight is 5.0 % Cl₂ by weight and 54 g/L. Bleach loses strength with age and warmth, and an
old bottle may hold half (common practice, no source): test the bath.

Never where animals are or water returns to them. Never with acids (chlorine gas) or ammonia,
urine or amines (chloramine gas). Gloves, eye protection, air; local rules for draining it.
"""

from enum import StrEnum
from typing import Final

from chemistry.constants import CHLORINE_G_MOL, DICHLORINE_G_MOL, OXYGEN_G_MOL, SODIUM_G_MOL
from chemistry.domain import LITRES, SHARE_ABOVE_ZERO, Number, Range, within

LABEL: Final = Range(name="strength of the bleach", unit="%", low=0.5, high=20.0)
BLEACH_DENSITY: Final = Range(name="density of the bleach", unit="kg/L", low=1.0, high=1.3)
AVAILABLE: Final = Range(name="available chlorine", unit="g/L", low=1.0, high=250.0)
BATH: Final = Range(name="chlorine in the bath", unit="mg/L as Cl2", low=1.0, high=10_000.0)

CL2_PER_NAOCL: Final = DICHLORINE_G_MOL / (SODIUM_G_MOL + OXYGEN_G_MOL + CHLORINE_G_MOL)


class Label(StrEnum):
    NAOCL_BY_WEIGHT = "sodium hypochlorite, % by weight"
    NAOCL_BY_VOLUME = "sodium hypochlorite, g in 100 mL"
    CL2_BY_WEIGHT = "available chlorine, % by weight"
    CL2_BY_VOLUME = "available chlorine, g in 100 mL"


_HYPOCHLORITE: Final = frozenset({Label.NAOCL_BY_WEIGHT, Label.NAOCL_BY_VOLUME})
_BY_WEIGHT: Final = frozenset({Label.NAOCL_BY_WEIGHT, Label.CL2_BY_WEIGHT})


def available_chlorine_g_l(*, percent: float, label: Label, density_kg_l: float) -> float:
    """Return available chlorine in a litre of fresh bleach; density counts by weight only."""
    within(LABEL, percent=percent)
    within(BLEACH_DENSITY, density_kg_l=density_kg_l)
    share = CL2_PER_NAOCL if label in _HYPOCHLORITE else 1.0
    return 10 * percent * share * (density_kg_l if label in _BY_WEIGHT else 1.0)


def bleach_ml(
    *, chlorine_mg_l_cl2: Number, volume_l: Number, available_g_l: Number, kept_share: float
) -> Number:
    """Return millilitres of bleach for a bath; ``kept_share`` is what age has left of it."""
    within(BATH, chlorine_mg_l_cl2=chlorine_mg_l_cl2)
    within(LITRES, volume_l=volume_l)
    within(AVAILABLE, available_g_l=available_g_l)
    within(SHARE_ABOVE_ZERO, kept_share=kept_share)
    return chlorine_mg_l_cl2 * volume_l / (available_g_l * kept_share)
