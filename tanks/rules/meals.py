"""What a meal means for the filter. Ammonia from feed: Timmons & Ebeling 2013, see `chemistry`."""

from collections.abc import Iterator

from chemistry.feed import tan_from_feed_g, tan_rise_from_feed_mg_l_n
from facility.rules.wording import written


def becomes(*, grams: float, protein_share: float, volume_l: float) -> str:
    """Return what the meal becomes, in words.

    Raises:
        OutOfRange: no feed has so much or so little protein.
    """
    tan_g = tan_from_feed_g(feed_g=grams, protein_share=protein_share)
    rise = tan_rise_from_feed_mg_l_n(feed_g=grams, protein_share=protein_share, volume_l=volume_l)
    return (
        f"{written(grams)} g with {written(protein_share * 100)} % protein become about "
        f"{written(tan_g)} g of total ammonia nitrogen: {written(rise)} mg/L-N in "
        f"{written(volume_l)} L if nothing oxidised it."
    )


def against_certified(
    *, protein_g: float, fed_protein_g: float, certified_protein_g: float | None
) -> Iterator[str]:
    """Yield a warning when the day's protein, this meal included, is more than was proven."""
    if certified_protein_g is None:
        return
    today = protein_g + fed_protein_g
    share = today / certified_protein_g
    if share > 1:
        yield (
            f"With this, today's feed is {written(share * 100)} % of the certified feed: more than "
            "the filter has proven. Feed less, or read TAN and nitrite tomorrow."
        )
