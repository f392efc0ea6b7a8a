"""What so many deaths of so many animals say: exact limits, intervals, published thresholds.

Binomial where the animals were counted once, Poisson where only animal-days are known. Exact
by scipy; the normal law does not hold for the few deaths of a tank.
"""

from dataclasses import dataclass
from typing import Final

from scipy.stats import binom, binomtest, poisson

CONFIDENCE: Final = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """A share and where it truly lies with 95 %: Clopper & Pearson 1934, exact."""

    share: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Excess:
    """How often the baseline alone brings ``deaths`` or more; ``alarm_at`` is the first rare count.

    ``baseline`` is the share that dies a day, ``expected`` the deaths it brings in the window.
    """

    deaths: int
    baseline: float
    expected: float
    probability: float
    alarm_at: int

    @property
    def is_rare(self) -> bool:
        return self.deaths >= self.alarm_at


@dataclass(frozen=True, slots=True, kw_only=True)
class Threshold:
    """A published share: more than ``share`` lost within ``days``, of animals of some weight."""

    days: int
    share: float
    lightest_g: float | None = None
    heaviest_g: float | None = None

    def is_for(self, weight_g: float) -> bool:
        """Tell whether it holds at this weight; the lower edge belongs to it."""
        above = self.lightest_g is None or weight_g >= self.lightest_g
        return above and (self.heaviest_g is None or weight_g < self.heaviest_g)


def interval(*, deaths: int, of: int) -> Interval:
    found = binomtest(deaths, of).proportion_ci(confidence_level=CONFIDENCE, method="exact")
    return Interval(share=deaths / of, low=float(found.low), high=float(found.high))


def at_least(deaths: int, *, animals: int, share: float) -> float:
    """P(X ≥ deaths) when each of the animals dies with this probability."""
    return float(binom.sf(deaths - 1, animals, share))


def at_least_of_days(deaths: int, *, animal_days: float, a_day: float) -> float:
    """P(X ≥ deaths) in so many animal-days."""
    return float(poisson.sf(deaths - 1, animal_days * a_day))


def excess(*, deaths: int, animals: int, days: float, baseline: float, rare: float) -> Excess:
    """Judge the deaths among animals that were counted when the window began."""
    share = 1.0 - (1.0 - baseline) ** days
    return Excess(
        deaths=deaths,
        baseline=baseline,
        expected=animals * share,
        probability=at_least(deaths, animals=animals, share=share),
        alarm_at=int(binom.isf(rare, animals, share)) + 1,
    )


def excess_of_days(*, deaths: int, animal_days: float, baseline: float, rare: float) -> Excess:
    """Judge deaths in a water where animals came and went."""
    expected = animal_days * baseline
    return Excess(
        deaths=deaths,
        baseline=baseline,
        expected=expected,
        probability=at_least_of_days(deaths, animal_days=animal_days, a_day=baseline),
        alarm_at=int(poisson.isf(rare, expected)) + 1,
    )


def passes(threshold: Threshold, *, deaths: int, of: int) -> bool:
    """Tell whether more died than the threshold lets: an equal share is not more."""
    return of > 0 and deaths > threshold.share * of
