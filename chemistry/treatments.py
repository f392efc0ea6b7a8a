"""Arithmetic of treatment baths that others have ordered. Nothing here recommends one.

Forms and bases are never guessed: copper or its sulfate, crystals or dry, formalin by volume or
by weight or as formaldehyde, chloroquine as base or as its diphosphate. Confusing them costs a
factor of 1.1 (formalin), 1.6 (chloroquine) or 3.9 (copper). ``published_doses`` keeps what has
been printed, with its source, so that an order can be read against it.
"""

from enum import StrEnum
from typing import Final

import numpy as np

from chemistry.domain import CONCENTRATION, LITRES, SHARE_ABOVE_ZERO, Number, Range, plain, within
from chemistry.hydrometry import Scale, gravity_on
from chemistry.nitrogen import G_PER_G_N, Basis
from chemistry.salinity import SALINITY
from chemistry.salts import FACTS, Salt

CAUTION: Final = (
    "Give it only on the order of a veterinarian licensed where the animals are; local law on "
    "buying, using and discharging it comes first."
)

COPPER: Final = Range(name="copper", unit="mg/L", low=0.0, high=10.0)
SULFATE: Final = Range(name="copper sulfate", unit="mg/L", low=0.0, high=40.0)
PRODUCT_COPPER: Final = Range(name="copper in the product", unit="g/L", low=0.1, high=300.0)
FORMALIN: Final = Range(name="formalin", unit="µL/L or mg/L", low=0.0, high=5000.0)
FORMALIN_DENSITY: Final = Range(name="density of formalin", unit="kg/L", low=1.0, high=1.2)
BATH: Final = Range(name="concentration of the bath", unit="mg/L", low=0.0, high=1000.0)

RATIO: Final = Range(name="chloride to nitrite, by weight", unit="", low=0.0, high=50.0)

# Formalin of 37 g formaldehyde in 100 g; its density is from memory, unverified.
FORMALIN_KG_L: Final = 1.08
FORMALDEHYDE_SHARE: Final = 0.37
# UF/IFAS VM-77: about 1 mg/L of oxygen goes for 5 mg/L of formalin.
OXYGEN_MG_PER_MG_FORMALIN: Final = 0.2
# C18H26ClN3 and C18H32ClN3O8P2; periodictable 2.1.0.
CHLOROQUINE_G_MOL: Final = 319.877
CHLOROQUINE_DIPHOSPHATE_G_MOL: Final = 515.865


class CopperSalt(StrEnum):
    CRYSTALS = "copper sulfate pentahydrate"
    ANHYDROUS = "copper sulfate, anhydrous"


_SALT: Final = {
    CopperSalt.CRYSTALS: Salt.COPPER_SULFATE_PENTAHYDRATE,
    CopperSalt.ANHYDROUS: Salt.COPPER_SULFATE,
}


class NitriteCounted(StrEnum):
    ION = "nitrite ion"
    NITROGEN = "nitrite nitrogen"


class FormalinBasis(StrEnum):
    MICROLITRES = "µL of formalin in a litre"
    AS_IF_WATER = "mg/L where 1 mL of formalin is counted as 1 g"
    MILLIGRAMS = "mg of formalin in a litre, weighed"
    FORMALDEHYDE = "mg of formaldehyde in a litre"


class ChloroquineForm(StrEnum):
    BASE = "chloroquine base"
    DIPHOSPHATE = "chloroquine diphosphate"


def copper_mg_l(*, sulfate_mg_l: Number, salt: CopperSalt) -> Number:
    """Return the copper in so much copper sulfate."""
    within(SULFATE, sulfate_mg_l=sulfate_mg_l)
    return sulfate_mg_l * FACTS[_SALT[salt]].share


def sulfate_mg_l(*, copper_mg_l: Number, salt: CopperSalt) -> Number:
    within(COPPER, copper_mg_l=copper_mg_l)
    return copper_mg_l / FACTS[_SALT[salt]].share


def copper_sulfate_g(
    *, rise_mg_l_cu: Number, volume_l: Number, salt: CopperSalt, purity: float = 1.0
) -> Number:
    """Return grams of the salt that raise copper, as Cu, by ``rise_mg_l_cu``."""
    within(COPPER, rise_mg_l_cu=rise_mg_l_cu)
    within(LITRES, volume_l=volume_l)
    within(SHARE_ABOVE_ZERO, purity=purity)
    return rise_mg_l_cu * volume_l / 1000 / (FACTS[_SALT[salt]].share * purity)


def copper_product_ml(
    *, rise_mg_l_cu: Number, volume_l: Number, product_copper_g_l: Number
) -> Number:
    """Return millilitres of a product whose label states its total copper.

    Bound (chelated) copper has targets of its own, several times those of free copper, and its
    own test: never carry one's target over to the other.
    """
    within(COPPER, rise_mg_l_cu=rise_mg_l_cu)
    within(LITRES, volume_l=volume_l)
    within(PRODUCT_COPPER, product_copper_g_l=product_copper_g_l)
    return rise_mg_l_cu * volume_l / product_copper_g_l


def formalin_ul_l(
    *, amount: Number, basis: FormalinBasis, formalin_kg_l: float = FORMALIN_KG_L
) -> Number:
    """Return an amount on any basis as microlitres of 37 % formalin per litre."""
    within(FORMALIN, amount=amount)
    return amount / _per_microlitre(basis, formalin_kg_l)


def formalin_in(
    *, formalin_ul_l: Number, basis: FormalinBasis, formalin_kg_l: float = FORMALIN_KG_L
) -> Number:
    """Return so many microlitres per litre on another basis: the inverse of the above."""
    within(FORMALIN, formalin_ul_l=formalin_ul_l)
    return formalin_ul_l * _per_microlitre(basis, formalin_kg_l)


def formalin_ml(*, formalin_ul_l: Number, volume_l: Number) -> Number:
    within(FORMALIN, formalin_ul_l=formalin_ul_l)
    within(LITRES, volume_l=volume_l)
    return formalin_ul_l * volume_l / 1000


def formalin_oxygen_mg_l(*, formalin_mg_l: Number) -> Number:
    """Return about how much oxygen formalin takes from the water: aerate hard."""
    within(FORMALIN, formalin_mg_l=formalin_mg_l)
    return formalin_mg_l * OXYGEN_MG_PER_MG_FORMALIN


def powder_g(*, bath_mg_l: Number, volume_l: Number, purity: float) -> Number:
    """Return grams of a powder such as praziquantel for a bath of its pure substance."""
    within(BATH, bath_mg_l=bath_mg_l)
    within(LITRES, volume_l=volume_l)
    within(SHARE_ABOVE_ZERO, purity=purity)
    return bath_mg_l * volume_l / 1000 / purity


def chloroquine_diphosphate_g(
    *, bath_mg_l: Number, counted_as: ChloroquineForm, volume_l: Number, purity: float
) -> Number:
    """Return grams of the diphosphate, whichever form the order counts in."""
    pure_g = powder_g(bath_mg_l=bath_mg_l, volume_l=volume_l, purity=purity)
    if counted_as is ChloroquineForm.DIPHOSPHATE:
        return pure_g
    return pure_g * CHLOROQUINE_DIPHOSPHATE_G_MOL / CHLOROQUINE_G_MOL


def sodium_chloride_mg_l(
    *,
    nitrite_mg_l_n: Number,
    ratio: Number,
    counted_as: NitriteCounted,
    chloride_mg_l: Number,
) -> Number:
    """Return the table salt that brings chloride to ``ratio`` times nitrite; 0 if it is there.

    A ratio on the ion is 3.28 times one on nitrogen: an order must say which.
    """
    within(CONCENTRATION, nitrite_mg_l_n=nitrite_mg_l_n, chloride_mg_l=chloride_mg_l)
    within(RATIO, ratio=ratio)
    basis = Basis.NO2 if counted_as is NitriteCounted.ION else Basis.N
    lacking = ratio * nitrite_mg_l_n * G_PER_G_N[basis] - chloride_mg_l
    salt: Number = np.maximum(lacking, 0.0) / FACTS[Salt.SODIUM_CHLORIDE].share
    return plain(salt)


def gravities(*, salinity_g_kg: float) -> tuple[tuple[Scale, float], ...]:
    """Return what each scale shows at an ordered salinity: a bare gravity is no order."""
    within(SALINITY, salinity_g_kg=salinity_g_kg)
    return tuple((scale, gravity_on(salinity_g_kg=salinity_g_kg, scale=scale)) for scale in Scale)


def _per_microlitre(basis: FormalinBasis, formalin_kg_l: float) -> float:
    """Return the amount on a basis that one microlitre of formalin is; a µL of water is a mg."""
    within(FORMALIN_DENSITY, formalin_kg_l=formalin_kg_l)
    return {
        FormalinBasis.MICROLITRES: 1.0,
        FormalinBasis.AS_IF_WATER: 1.0,
        FormalinBasis.MILLIGRAMS: formalin_kg_l,
        FormalinBasis.FORMALDEHYDE: formalin_kg_l * FORMALDEHYDE_SHARE,
    }[basis]
