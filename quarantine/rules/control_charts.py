"""Is this week's loss the usual one? Charts of shares with exact limits, and of days between.

A share of few deaths is not normal: limits are those a binomial count passes as rarely as a
normal value passes three standard deviations, 0.135 % on each side. The limits by the normal
law stand beside them, for those who compare with books.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

from scipy.stats import binom, geom

TAIL: Final = 0.00135
_FEWEST: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class SharePoint:
    """One sample; its limits as shares. ``lower`` and ``upper`` are still usual."""

    deaths: int
    size: int
    lower: float
    upper: float
    normal_lower: float
    normal_upper: float

    @property
    def share(self) -> float:
        return self.deaths / self.size

    @property
    def is_outside(self) -> bool:
        return not self.lower <= self.share <= self.upper

    @property
    def is_outside_normal(self) -> bool:
        return not self.normal_lower <= self.share <= self.normal_upper


@dataclass(frozen=True, slots=True, kw_only=True)
class ShareChart:
    centre: float
    points: tuple[SharePoint, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class GapChart:
    """Days without a death between days with one; a gap above ``upper`` is rarer than usual.

    Too many deaths show as points on the floor: a geometric count has no useful lower limit,
    so the chart of shares is the one that calls.
    """

    centre: float
    upper: int
    gaps: tuple[int, ...]
    outside: tuple[int, ...]


def share_chart(
    deaths: Sequence[int], sizes: Sequence[int], *, centre: float | None = None
) -> ShareChart | None:
    """Return the chart of samples that need not be equal; None without animals.

    Without ``centre`` the mean share of all samples is taken as usual.
    """
    pairs = [(died, size) for died, size in zip(deaths, sizes, strict=True) if size > 0]
    total = sum(size for _, size in pairs)
    if not total:
        return None
    usual = sum(died for died, _ in pairs) / total if centre is None else centre
    return ShareChart(centre=usual, points=tuple(_point(*pair, usual) for pair in pairs))


def gap_chart(gaps: Sequence[int]) -> GapChart | None:
    """Return the chart of days between deaths, geometric limits; None with fewer than two."""
    if len(gaps) < _FEWEST:
        return None
    mean = sum(gaps) / len(gaps)
    upper = int(geom.isf(TAIL, 1.0 / (mean + 1.0))) - 1
    outside = tuple(place for place, gap in enumerate(gaps) if gap > upper)
    return GapChart(centre=mean, upper=upper, gaps=tuple(gaps), outside=outside)


def _point(deaths: int, size: int, usual: float) -> SharePoint:
    reach = 3 * sqrt(usual * (1 - usual) / size)
    return SharePoint(
        deaths=deaths,
        size=size,
        lower=float(binom.ppf(TAIL, size, usual)) / size,
        upper=float(binom.isf(TAIL, size, usual)) / size,
        normal_lower=max(0.0, usual - reach),
        normal_upper=min(1.0, usual + reach),
    )
