"""The same nitrogen written as the element or as the ion that carries it.

Factors are ratios of molar masses (``constants``); printed roundings of them are 0.822,
0.776, 0.304 and 0.226. Only mass is converted: 1 mg/L as N of nitrite stays nitrite.
"""

from enum import StrEnum
from typing import Final

from chemistry.constants import (
    AMMONIA_G_MOL,
    AMMONIUM_G_MOL,
    NITRATE_G_MOL,
    NITRITE_G_MOL,
    NITROGEN_G_MOL,
)
from chemistry.domain import Number


class Basis(StrEnum):
    """What a test's milligrams are milligrams of."""

    N = "N"
    NH3 = "NH3"
    NH4 = "NH4"
    NO2 = "NO2"
    NO3 = "NO3"


G_PER_G_N: Final = {
    Basis.N: 1.0,
    Basis.NH3: AMMONIA_G_MOL / NITROGEN_G_MOL,
    Basis.NH4: AMMONIUM_G_MOL / NITROGEN_G_MOL,
    Basis.NO2: NITRITE_G_MOL / NITROGEN_G_MOL,
    Basis.NO3: NITRATE_G_MOL / NITROGEN_G_MOL,
}


# Oxidising a milligram of one makes more of the next: it carries more oxygen.
NITRATE_PER_NITRITE: Final = NITRATE_G_MOL / NITRITE_G_MOL
UMOL_PER_MG_N: Final = 1000 / NITROGEN_G_MOL


def to_nitrogen(concentration_mg_l: Number, *, basis: Basis) -> Number:
    """Return mg/L as N of a concentration stated in ``basis``."""
    return concentration_mg_l / G_PER_G_N[basis]


def from_nitrogen(concentration_mg_l_n: Number, *, basis: Basis) -> Number:
    """Return the concentration in ``basis`` of so many mg/L as N."""
    return concentration_mg_l_n * G_PER_G_N[basis]


def umol_l_from_nitrogen(concentration_mg_l_n: Number) -> Number:
    """Return µmol/L, alike for every form of one nitrogen atom."""
    return concentration_mg_l_n * UMOL_PER_MG_N


def nitrogen_from_umol_l(concentration_umol_l: Number) -> Number:
    return concentration_umol_l / UMOL_PER_MG_N
