"""Feed, the ammonia it becomes, and what its oxidation uses up; floats or arrays.

Ammonia from feed: Timmons & Ebeling, *Recirculating Aquaculture* (2013), P_TAN = feed ×
protein × 0.092, where 0.092 = 0.16 N in protein × 0.80 assimilated × 0.80 excreted × 0.90
as TAN. The share is of feed as weighed: frozen foods are mostly water.

Nitrification without growth, NH₄⁺ + 2 O₂ → NO₃⁻ + 2 H⁺ + H₂O: exact molar ratios, the upper
and cautious end of what ``nitrification`` lists.
"""

from dataclasses import dataclass
from typing import Final

from chemistry.constants import DIOXYGEN_G_MOL, NITROGEN_G_MOL, SODIUM_BICARBONATE_G_MOL
from chemistry.domain import CONCENTRATION, GRAMS, LITRES, Number, Range, within

PROTEIN: Final = Range(name="protein share (0.45 for 45 %)", unit="", low=0.02, high=0.95)
PROTEIN_DRY: Final = Range(name="protein share of the dry food", unit="", low=0.02, high=0.95)
WATER: Final = Range(name="water share of the food (0.8 for 80 %)", unit="", low=0.0, high=0.95)

TAN_G_PER_G_PROTEIN: Final = 0.092
OXYGEN_MG_PER_MG_N: Final = 2 * DIOXYGEN_G_MOL / NITROGEN_G_MOL
ALKALINITY_MEQ_PER_MG_N: Final = 2 / NITROGEN_G_MOL


@dataclass(frozen=True, slots=True, kw_only=True)
class DailyUse:
    """What a day's feed makes and what its oxidation to nitrate takes.

    ``tan_mg_l_n`` is also the rise in nitrate as N. ``bicarbonate_g`` replaces the alkalinity.
    """

    tan_g: float
    tan_mg_l_n: float
    oxygen_g: float
    alkalinity_meq_l: float
    bicarbonate_g: float


def tan_from_feed_g(*, feed_g: Number, protein_share: float) -> Number:
    """Return grams of total ammonia nitrogen that ``feed_g`` becomes."""
    within(GRAMS, feed_g=feed_g)
    within(PROTEIN, protein_share=protein_share)
    return feed_g * protein_share * TAN_G_PER_G_PROTEIN


def tan_rise_from_feed_mg_l_n(*, feed_g: Number, protein_share: float, volume_l: Number) -> Number:
    """Return how far ``feed_g`` would raise TAN if nothing oxidised it."""
    within(LITRES, volume_l=volume_l)
    return tan_from_feed_g(feed_g=feed_g, protein_share=protein_share) * 1000 / volume_l


def protein_as_fed(*, protein_dry_share: float, water_share: float) -> float:
    """Return the protein share of a food as weighed, its water with it.

    Frozen foods hold about 80 % of water (common practice, no source): forgetting it makes the
    ammonia four to five times too much.
    """
    within(PROTEIN_DRY, protein_dry_share=protein_dry_share)
    within(WATER, water_share=water_share)
    as_fed = protein_dry_share * (1 - water_share)
    within(PROTEIN, water_share=as_fed)
    return as_fed


def daily_use(*, feed_g_day: float, protein_share: float, volume_l: float) -> DailyUse:
    """Return what a day's feed makes and takes once a ripe filter oxidises all of it."""
    tan_g = tan_from_feed_g(feed_g=feed_g_day, protein_share=protein_share)
    tan_mg_l_n = tan_rise_from_feed_mg_l_n(
        feed_g=feed_g_day, protein_share=protein_share, volume_l=volume_l
    )
    alkalinity_meq = tan_g * 1000 * ALKALINITY_MEQ_PER_MG_N
    return DailyUse(
        tan_g=tan_g,
        tan_mg_l_n=tan_mg_l_n,
        oxygen_g=tan_g * OXYGEN_MG_PER_MG_N,
        alkalinity_meq_l=alkalinity_meq / volume_l,
        bicarbonate_g=alkalinity_meq * SODIUM_BICARBONATE_G_MOL / 1000,
    )


def certified_feed_g_day(
    *, cleared_mg_l_n: Number, volume_l: Number, protein_share: float
) -> Number:
    """Return the daily feed whose ammonia equals what was cleared in a 24-hour pass."""
    within(CONCENTRATION, cleared_mg_l_n=cleared_mg_l_n)
    within(LITRES, volume_l=volume_l)
    within(PROTEIN, protein_share=protein_share)
    return cleared_mg_l_n * volume_l / (1000 * protein_share * TAN_G_PER_G_PROTEIN)


def challenge_for_feed_mg_l_n(
    *, feed_g_day: Number, volume_l: Number, protein_share: float
) -> Number:
    """Return the 24-hour challenge that proves ``feed_g_day``: the inverse of the above."""
    return tan_rise_from_feed_mg_l_n(
        feed_g=feed_g_day, protein_share=protein_share, volume_l=volume_l
    )


def alkalinity_used_meq_l(*, oxidised_mg_l_n: Number) -> Number:
    """Return the alkalinity that oxidising so much ammonia nitrogen to nitrate consumes."""
    within(CONCENTRATION, oxidised_mg_l_n=oxidised_mg_l_n)
    return oxidised_mg_l_n * ALKALINITY_MEQ_PER_MG_N


def oxygen_used_mg_l(*, oxidised_mg_l_n: Number) -> Number:
    """Return the oxygen that oxidising so much ammonia nitrogen to nitrate consumes."""
    within(CONCENTRATION, oxidised_mg_l_n=oxidised_mg_l_n)
    return oxidised_mg_l_n * OXYGEN_MG_PER_MG_N
