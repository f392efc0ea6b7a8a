"""How long animals live after they came: Kaplan & Meier, the sold and moved as censored.

Who was sold, moved off or taken for a test is neither a survivor nor a death: he was seen alive
until then. At a tied time deaths come before censorings. Curves and the log-rank test by scipy.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import exp, log, sqrt
from typing import Final

import numpy as np
import numpy.typing as npt
from scipy.stats import CensoredData, chi2, ecdf, logrank

_HALF: Final = 0.5
_TWO_SIDED: Final = 1.959963984540054


@dataclass(frozen=True, slots=True, kw_only=True)
class Lives:
    """``count`` animals seen for ``days``; ``died`` at its end, or were last seen alive then."""

    days: float
    count: int
    died: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A day with deaths; ``share`` is left after them, ``low`` to ``high`` with 95 %."""

    days: float
    at_risk: int
    deaths: int
    share: float
    error: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """``median_days`` None: more than half were alive when last seen."""

    animals: int
    deaths: int
    censored: int
    steps: tuple[Step, ...]
    median_days: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Two groups, log-rank: how often chance alone makes curves differ as much."""

    chi_square: float
    probability: float


def curve(lives: Sequence[Lives]) -> Curve | None:
    """Return the curve, or None without animals."""
    animals = sum(each.count for each in lives)
    deaths = sum(each.count for each in lives if each.died)
    if not animals:
        return None
    steps = tuple(_steps(lives)) if deaths else ()
    return Curve(
        animals=animals,
        deaths=deaths,
        censored=animals - deaths,
        steps=steps,
        median_days=next((step.days for step in steps if step.share <= _HALF), None),
    )


def compare(one: Sequence[Lives], other: Sequence[Lives]) -> Comparison | None:
    """Return the log-rank test, or None where nothing died or a group is empty."""
    has_deaths = any(each.died for each in (*one, *other))
    if not (has_deaths and any(e.count for e in one) and any(e.count for e in other)):
        return None
    found = logrank(_censored(one), _censored(other))
    square = float(found.statistic) ** 2
    return Comparison(chi_square=square, probability=float(chi2.sf(square, 1)))


def _steps(lives: Sequence[Lives]) -> Iterator[Step]:
    estimate = ecdf(_censored(lives)).sf
    days: list[float] = estimate.quantiles.tolist()
    shares: list[float] = estimate.probabilities.tolist()
    spread = 0.0
    for day, share in zip(days, shares, strict=True):
        at_risk = sum(each.count for each in lives if each.days >= day)
        died = sum(each.count for each in lives if each.days == day and each.died)
        if not died:
            continue
        spread += died / (at_risk * (at_risk - died)) if died < at_risk else 0.0
        low, high = _bounds(share, spread)
        yield Step(
            days=day,
            at_risk=at_risk,
            deaths=died,
            share=share,
            error=share * sqrt(spread),
            low=low,
            high=high,
        )


def _bounds(share: float, spread: float) -> tuple[float, float]:
    """The 95 % interval on the log(-log) scale, Kalbfleisch & Prentice; none left, no width."""
    if not 0.0 < share < 1.0:
        return share, share
    reach = exp(_TWO_SIDED * sqrt(spread) / abs(log(share)))
    return share**reach, share ** (1 / reach)


def _censored(lives: Sequence[Lives]) -> CensoredData:
    days: npt.NDArray[np.float64] = np.repeat(
        [float(each.days) for each in lives], [each.count for each in lives]
    )
    alive = np.repeat([not each.died for each in lives], [each.count for each in lives])
    return CensoredData.right_censored(days, alive)
