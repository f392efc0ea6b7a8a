"""What ammonia does in a tank that is shut off from its biofilter while it is fed. Pure.

All the ammonia that the feed becomes stays in the water: nothing oxidises it, no water is
changed. Animals excrete without being fed as well, and what dies adds more; it is a reckoning
to test by, not a reading.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from chemistry.domain import OutOfRange
from chemistry.feed import tan_rise_from_feed_mg_l_n
from facility.rules.wording import written

# Over so many days the feed is averaged.
LOOK_BACK: Final = timedelta(days=7)
_DAY_H: Final = 24.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Meal:
    """Feed as weighed, and the net litres of water among which it was given."""

    grams: float
    protein_share: float
    litres: float

    @property
    def rise_mg_l_n(self) -> float:
        """Nothing where the feed or the water is off the scale of the formula."""
        try:
            return float(
                tan_rise_from_feed_mg_l_n(
                    feed_g=self.grams, protein_share=self.protein_share, volume_l=self.litres
                )
            )
        except OutOfRange:
            return 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Isolated:
    """A tank behind a closed valve. ``tan_mg_l_n`` was read at ``since`` or stands for then.

    ``rise_mg_l_n_day`` is None where no feed or no volume is known; ``limit_mg_l_n`` is the
    site's own for this water, if it has one.
    """

    at: datetime
    since: datetime
    tan_mg_l_n: float | None
    rise_mg_l_n_day: float | None
    limit_mg_l_n: float | None
    has_biofilter: bool

    @property
    def tan_now_mg_l_n(self) -> float | None:
        """By reckoning, from the last reading on; unread counts from nothing."""
        if self.rise_mg_l_n_day is None:
            return None
        hours = max(0.0, (self.at - self.since) / timedelta(hours=1))
        return (self.tan_mg_l_n or 0.0) + self.rise_mg_l_n_day * hours / _DAY_H

    @property
    def hours_to_limit(self) -> float | None:
        """Below nothing once it was passed; None where it cannot be told."""
        now_mg_l_n = self.tan_now_mg_l_n
        if now_mg_l_n is None or self.limit_mg_l_n is None or not self.rise_mg_l_n_day:
            return None
        return (self.limit_mg_l_n - now_mg_l_n) / self.rise_mg_l_n_day * _DAY_H


def rise_mg_l_n_day(meals: Iterable[Meal]) -> float | None:
    """Return how far a day's feed raises TAN where nothing oxidises it; None without any meal."""
    rises = [meal.rise_mg_l_n for meal in meals]
    return sum(rises) / (LOOK_BACK / timedelta(days=1)) if rises else None


def says(one: Isolated) -> str:
    """Return the outlook in a sentence or two, with what to do."""
    if one.has_biofilter:
        return "It has a biofilter of its own; no rise of TAN is reckoned. Test it all the same."
    now_mg_l_n, rise = one.tan_now_mg_l_n, one.rise_mg_l_n_day
    if now_mg_l_n is None or rise is None:
        return "No feed or no net volume is known of it, so TAN cannot be reckoned: test it daily."
    unread = "" if one.tan_mg_l_n is not None else ", counted from 0 because none was read"
    by_now = f"About {written(round(now_mg_l_n, 2))} mg/L-N by now{unread}"
    return (
        f"No biofilter: fed as in the week before, TAN rises {written(round(rise, 2))} mg/L-N a "
        f"day. {by_now}; {_limit_words(one)}"
    )


def _limit_words(one: Isolated) -> str:
    hours = one.hours_to_limit
    if hours is None:
        return "the site has no limit for TAN here."
    limit = f"the site's limit of {written(one.limit_mg_l_n)} mg/L-N"
    if hours <= 0:
        return f"{limit} is passed by this reckoning. Test it now."
    return f"{limit} is reached in {_length(hours)}."


def _length(hours: float) -> str:
    if hours < 1:
        return "less than an hour"
    return f"{hours:.0f} h" if hours < 2 * _DAY_H else f"{hours / _DAY_H:.0f} days"
