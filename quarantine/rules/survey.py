"""How many animals to test, and what a sample that finds nothing is worth. Exact, pure.

Sampling without replacement from a finite lot is hypergeometric; a test that errs adds two
binomials (Cameron & Baldock 1998, Prev Vet Med 34, 1-17). A negative sample never proves that
something is absent; it only would have found it, had it been as common as was asked.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil
from typing import Final

import numpy as np
from scipy.stats import binom, hypergeom

# Beyond this a lot is as good as endless; what 16 digits cannot tell apart is not rounded up.
LARGEST: Final = 1_000_000
_DIGITS: Final = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """What is asked of a sample. ``population`` None is a lot too large to count.

    ``prevalence`` is the least share affected that the sample must find with ``confidence``;
    ``herd_specificity`` how often a lot without it must pass.
    """

    population: int | None
    prevalence: float
    confidence: float = 0.95
    sensitivity: float = 1.0
    specificity: float = 1.0
    herd_specificity: float = 0.95

    @property
    def affected(self) -> int | None:
        """Animals that many affected mean: N·p, rounded up to a whole one."""
        if self.population is None:
            return None
        return max(1, ceil(round(self.population * self.prevalence, _DIGITS)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """A sample of ``size`` fails the lot at ``fails_at`` positives or more.

    ``found`` is how often a lot affected as asked would fail, ``passes`` how often one
    without it would pass.
    """

    size: int
    fails_at: int
    found: float
    passes: float


def needed(design: Design) -> Worth | None:
    """The smallest sample and its cut-point; None where no sample of this lot can do it."""
    for fails_at in range(1, _most(design) + 1):
        size = _smallest(design, fails_at)
        if size is None:
            return None
        worth = worth_of(design, size=size, fails_at=fails_at)
        if worth.passes >= design.herd_specificity:
            return worth
    return None


def worth_of(design: Design, *, size: int, fails_at: int = 1) -> Worth:
    """What a sample of this size is worth, whatever was asked."""
    return Worth(
        size=size,
        fails_at=fails_at,
        found=1.0 - _at_most(design, size, fails_at - 1),
        passes=float(binom.cdf(fails_at - 1, size, 1.0 - design.specificity)),
    )


def best_cut(design: Design, *, size: int) -> Worth:
    """The lowest cut-point at which a lot without it passes as often as asked."""
    wrong = 1.0 - design.specificity
    fails_at = 1 if wrong == 0 else int(binom.ppf(design.herd_specificity, size, wrong)) + 1
    return worth_of(design, size=size, fails_at=fails_at)


def cannon_roe(*, population: int, affected: int, confidence: float) -> float:
    """Sample size by hand, before rounding up, for a perfect test: Cannon & Roe 1982."""
    share = 1.0 - (1.0 - confidence) ** (1.0 / affected)
    return float(share * (population - (affected - 1) / 2))


def by_hand(design: Design) -> float | None:
    """Sample size by the usual approximation, before rounding up; None where it does not hold.

    That is for a test that errs on unaffected animals, and where more are asked for than there
    are. MacDiarmid 1988, Cannon 2001. In large lots it exceeds the endless one: prefer the exact.
    """
    if design.specificity < 1:
        return None
    if design.population is None or design.affected is None:
        reach = design.prevalence * design.sensitivity
        return float(np.log1p(-design.confidence) / np.log1p(-reach)) if reach < 1 else 1.0
    share = 1.0 - (1.0 - design.confidence) ** (1.0 / design.affected)
    size = design.population / design.sensitivity * share
    return float(size) if size <= design.population else None


def belief_after(*, prior: float, introduction: float, sensitivity: float) -> float:
    """Probability of absence at the asked prevalence after one more negative sample.

    ``introduction`` is the chance that it came in since the last one; Martin et al. 2007.
    """
    adjusted = prior * (1.0 - introduction)
    return adjusted / (1.0 - (1.0 - adjusted) * sensitivity)


def chain(
    *, rounds: int, prior: float, introduction: float, sensitivity: float
) -> tuple[float, ...]:
    """The belief after each of so many negative samples."""
    found: list[float] = []
    for _ in range(rounds):
        before = found[-1] if found else prior
        found.append(belief_after(prior=before, introduction=introduction, sensitivity=sensitivity))
    return tuple(found)


def _most(design: Design) -> int:
    """Cut-points worth trying: more positives than that no sample could ask for."""
    return 1 if design.specificity == 1 else min(design.population or LARGEST, 1000)


def _smallest(design: Design, fails_at: int) -> int | None:
    def is_enough(size: int) -> bool:
        return 1.0 - _at_most(design, size, fails_at - 1) >= design.confidence

    return _first(is_enough, low=fails_at, high=design.population or LARGEST)


def _first(is_enough: Callable[[int], bool], *, low: int, high: int) -> int | None:
    """The first size that is enough: more tests never find less, so the search may halve."""
    if low > high or not is_enough(high):
        return None
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if is_enough(middle) else (middle + 1, high)
    return low


def _at_most(design: Design, size: int, positives: int) -> float:
    """P(T⁺ ≤ positives) in a lot affected as asked."""
    wrong = 1.0 - design.specificity
    if design.population is None or design.affected is None:
        rate = design.prevalence * design.sensitivity + (1.0 - design.prevalence) * wrong
        return float(binom.cdf(positives, size, rate))
    drawn = np.arange(min(size, design.affected) + 1)
    weights = hypergeom.pmf(drawn, design.population, design.affected, size)
    right = np.arange(positives + 1)[:, None]
    right_ones = binom.pmf(right, drawn, design.sensitivity)
    wrong_ones = binom.cdf(positives - right, size - drawn, wrong)
    return float(min(1.0, np.sum(weights * right_ones * wrong_ones)))
