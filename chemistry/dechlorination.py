"""Removing chlorine and chloramine, and the ammonia that chloramine leaves behind.

Thiosulfate: 2 S₂O₃²⁻ + Cl₂ → S₄O₆²⁻ + 2 Cl⁻ needs 7.0 mg of the pentahydrate per mg Cl₂,
the figure used in laboratories and here. The 1:1 and 1:4 reactions (3.5 and 0.9 mg) are
reached only at high pH and long contact; they are kept to explain what is read elsewhere.
Always test again for *total* chlorine.

Chloramine, reported by tests as Cl₂, frees 1 mol NH₃ per mol Cl₂ when it is reduced. A
utility's excess ammonia comes on top. Floats or arrays.
"""

from enum import StrEnum
from typing import Final

from chemistry.constants import (
    CARBON_G_MOL,
    DICHLORINE_G_MOL,
    HYDROGEN_G_MOL,
    NITROGEN_G_MOL,
    OXYGEN_G_MOL,
    SODIUM_G_MOL,
    SODIUM_THIOSULFATE_G_MOL,
    SODIUM_THIOSULFATE_PENTAHYDRATE_G_MOL,
    SULFUR_G_MOL,
)
from chemistry.domain import LITRES, SHARE_ABOVE_ZERO, Number, Range, within

CHLORINE: Final = Range(name="total chlorine", unit="mg/L as Cl2", low=0.0, high=1000.0)
FEED_RATIO: Final = Range(name="chlorine to ammonia ratio", unit="mg Cl2/mg N", low=2.0, high=5.06)

THIOSULFATE_PENTAHYDRATE_MG_PER_MG_CL2: Final = (
    2 * SODIUM_THIOSULFATE_PENTAHYDRATE_G_MOL / DICHLORINE_G_MOL
)
TAN_MG_N_PER_MG_CL2: Final = NITROGEN_G_MOL / DICHLORINE_G_MOL
_BISULFITE_G_MOL: Final = SODIUM_G_MOL + HYDROGEN_G_MOL + SULFUR_G_MOL + 3 * OXYGEN_G_MOL
_METABISULFITE_G_MOL: Final = 2 * SODIUM_G_MOL + 2 * SULFUR_G_MOL + 5 * OXYGEN_G_MOL
_SULFITE_G_MOL: Final = 2 * SODIUM_G_MOL + SULFUR_G_MOL + 3 * OXYGEN_G_MOL
_ASCORBIC_ACID_G_MOL: Final = 6 * CARBON_G_MOL + 8 * HYDROGEN_G_MOL + 6 * OXYGEN_G_MOL
_SODIUM_ASCORBATE_G_MOL: Final = _ASCORBIC_ACID_G_MOL - HYDROGEN_G_MOL + SODIUM_G_MOL


class Reaction(StrEnum):
    """Moles of thiosulfate taken for one of chlorine."""

    TETRATHIONATE = "2:1, to tetrathionate"
    SULFUR = "1:1, to sulfate and sulfur"
    SULFATE = "1:4, to sulfate"


THIOSULFATE_PER_CL2: Final = {
    Reaction.TETRATHIONATE: 2.0,
    Reaction.SULFUR: 1.0,
    Reaction.SULFATE: 0.25,
}


class Neutraliser(StrEnum):
    THIOSULFATE_PENTAHYDRATE = "sodium thiosulfate pentahydrate (crystals)"
    THIOSULFATE_ANHYDROUS = "sodium thiosulfate, anhydrous"
    BISULFITE = "sodium bisulfite"
    METABISULFITE = "sodium metabisulfite"
    SULFITE = "sodium sulfite, anhydrous"
    ASCORBIC_ACID = "ascorbic acid"
    SODIUM_ASCORBATE = "sodium ascorbate"


# One mole takes one of chlorine; metabisulfite makes two of bisulfite. Thiosulfate as above.
MG_PER_MG_CL2: Final = {
    Neutraliser.THIOSULFATE_PENTAHYDRATE: THIOSULFATE_PENTAHYDRATE_MG_PER_MG_CL2,
    Neutraliser.THIOSULFATE_ANHYDROUS: 2 * SODIUM_THIOSULFATE_G_MOL / DICHLORINE_G_MOL,
    Neutraliser.BISULFITE: _BISULFITE_G_MOL / DICHLORINE_G_MOL,
    Neutraliser.METABISULFITE: _METABISULFITE_G_MOL / 2 / DICHLORINE_G_MOL,
    Neutraliser.SULFITE: _SULFITE_G_MOL / DICHLORINE_G_MOL,
    Neutraliser.ASCORBIC_ACID: _ASCORBIC_ACID_G_MOL / DICHLORINE_G_MOL,
    Neutraliser.SODIUM_ASCORBATE: _SODIUM_ASCORBATE_G_MOL / DICHLORINE_G_MOL,
}


def thiosulfate_pentahydrate_g(
    *, total_chlorine_mg_l_cl2: Number, volume_l: Number, purity: float = 1.0
) -> Number:
    """Return grams of Na₂S₂O₃·5H₂O that take up the total chlorine of ``volume_l``."""
    return neutraliser_g(
        neutraliser=Neutraliser.THIOSULFATE_PENTAHYDRATE,
        total_chlorine_mg_l_cl2=total_chlorine_mg_l_cl2,
        volume_l=volume_l,
        purity=purity,
    )


def neutraliser_g(
    *,
    neutraliser: Neutraliser,
    total_chlorine_mg_l_cl2: Number,
    volume_l: Number,
    purity: float = 1.0,
) -> Number:
    """Return grams that take up the total chlorine of ``volume_l``, with nothing to spare."""
    within(CHLORINE, total_chlorine_mg_l_cl2=total_chlorine_mg_l_cl2)
    within(LITRES, volume_l=volume_l)
    within(SHARE_ABOVE_ZERO, purity=purity)
    chlorine_g = total_chlorine_mg_l_cl2 * volume_l / 1000
    return chlorine_g * MG_PER_MG_CL2[neutraliser] / purity


def thiosulfate_mg_per_mg_cl2(*, reaction: Reaction, pentahydrate: bool) -> float:
    """Return what a text that names its reaction and its hydrate should print."""
    g_mol = SODIUM_THIOSULFATE_PENTAHYDRATE_G_MOL if pentahydrate else SODIUM_THIOSULFATE_G_MOL
    return THIOSULFATE_PER_CL2[reaction] * g_mol / DICHLORINE_G_MOL


def tan_freed_mg_l_n(*, chloramine_mg_l_cl2: Number) -> Number:
    """Return the TAN left when monochloramine, read as Cl₂, has been reduced."""
    within(CHLORINE, chloramine_mg_l_cl2=chloramine_mg_l_cl2)
    return chloramine_mg_l_cl2 * TAN_MG_N_PER_MG_CL2


def tan_fed_mg_l_n(*, total_chlorine_mg_l_cl2: Number, feed_ratio: float) -> Number:
    """Return all ammonia nitrogen a utility put in at ``feed_ratio`` mg Cl₂ per mg N.

    Above 5.06 there is less than one ammonia to a chlorine; 3 to 5 is usual (from memory,
    unverified).
    """
    within(CHLORINE, total_chlorine_mg_l_cl2=total_chlorine_mg_l_cl2)
    within(FEED_RATIO, feed_ratio=feed_ratio)
    return total_chlorine_mg_l_cl2 / feed_ratio
