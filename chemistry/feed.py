"""Feed, the ammonia it becomes, and what its oxidation uses up.

Ammonia from feed: Timmons & Ebeling, *Recirculating Aquaculture* (2013), P_TAN = feed ×
protein × 0.092, where 0.092 = 0.16 N in protein × 0.80 assimilated × 0.80 excreted × 0.90
as TAN. The share is of feed as weighed: frozen foods are mostly water.

Nitrification without growth, NH₄⁺ + 2 O₂ → NO₃⁻ + 2 H⁺ + H₂O: exact molar ratios. In print
oxygen appears as 4.18 to 4.57 mg/mg N and alkalinity as 6.98 to 7.14 mg CaCO₃/mg N,
depending on the biomass counted; the values here are the upper, cautious ends.
"""

from typing import Final

from chemistry.constants import DIOXYGEN_G_MOL, NITROGEN_G_MOL
from chemistry.domain import CONCENTRATION, GRAMS, LITRES, Range, within

PROTEIN: Final = Range(name="protein share (0.45 for 45 %)", unit="", low=0.02, high=0.95)

TAN_G_PER_G_PROTEIN: Final = 0.092
OXYGEN_MG_PER_MG_N: Final = 2 * DIOXYGEN_G_MOL / NITROGEN_G_MOL
ALKALINITY_MEQ_PER_MG_N: Final = 2 / NITROGEN_G_MOL


def tan_from_feed_g(*, feed_g: float, protein_share: float) -> float:
    """Return grams of total ammonia nitrogen that ``feed_g`` becomes."""
    within(GRAMS, feed_g=feed_g)
    within(PROTEIN, protein_share=protein_share)
    return feed_g * protein_share * TAN_G_PER_G_PROTEIN


def tan_rise_from_feed_mg_l_n(*, feed_g: float, protein_share: float, volume_l: float) -> float:
    """Return how far ``feed_g`` would raise TAN if nothing oxidised it."""
    within(LITRES, volume_l=volume_l)
    return tan_from_feed_g(feed_g=feed_g, protein_share=protein_share) * 1000 / volume_l


def certified_feed_g_day(*, cleared_mg_l_n: float, volume_l: float, protein_share: float) -> float:
    """Return the daily feed whose ammonia equals what was cleared in a 24-hour pass."""
    within(CONCENTRATION, cleared_mg_l_n=cleared_mg_l_n)
    within(LITRES, volume_l=volume_l)
    within(PROTEIN, protein_share=protein_share)
    return cleared_mg_l_n * volume_l / (1000 * protein_share * TAN_G_PER_G_PROTEIN)


def challenge_for_feed_mg_l_n(*, feed_g_day: float, volume_l: float, protein_share: float) -> float:
    """Return the 24-hour challenge that proves ``feed_g_day``: the inverse of the above."""
    return tan_rise_from_feed_mg_l_n(
        feed_g=feed_g_day, protein_share=protein_share, volume_l=volume_l
    )


def alkalinity_used_meq_l(*, oxidised_mg_l_n: float) -> float:
    """Return the alkalinity that oxidising so much ammonia nitrogen to nitrate consumes."""
    within(CONCENTRATION, oxidised_mg_l_n=oxidised_mg_l_n)
    return oxidised_mg_l_n * ALKALINITY_MEQ_PER_MG_N


def oxygen_used_mg_l(*, oxidised_mg_l_n: float) -> float:
    """Return the oxygen that oxidising so much ammonia nitrogen to nitrate consumes."""
    within(CONCENTRATION, oxidised_mg_l_n=oxidised_mg_l_n)
    return oxidised_mg_l_n * OXYGEN_MG_PER_MG_N
