"""Scores of a date told as quantiles: exact, and such as anybody can compute from the answer.

Everything is in days. A quantile past the horizon counts as the horizon, and so does a start-up
that never was ready; scores are of these clamped numbers. Sources: Gneiting and Raftery 2007
(continuous ranked probability score), Efron 1979 (bootstrap of paired differences).
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from deploy.bench.startups.arrays import Floats

LEVELS: Final = np.array([0.05, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95])
BANDS: Final = {"50": (2, 4), "80": (1, 5), "90": (0, 6)}
MEDIAN: Final = 3
_DRAWS: Final = 4000
_BOOTSTRAP_SEED: Final = 20261125


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """A mean difference with the 95 % interval of its paired bootstrap."""

    mean: float
    low: float
    high: float


def crps_of_quantiles(quantiles: Floats, truth: Floats, *, levels: Floats = LEVELS) -> Floats:
    """Return the score of each row of ``quantiles``, shape (n, levels), joined by straight lines.

    Below the lowest level and above the highest the distribution is taken to end there.
    """
    low, high = quantiles[:, :-1], quantiles[:, 1:]
    p_low, p_high = levels[:-1], levels[1:]
    split = np.clip(truth[:, None], low, high)
    length = high - low
    share = np.divide(split - low, length, out=np.zeros_like(length), where=length > 0.0)
    p_split = p_low + share * (p_high - p_low)
    inner = _squares(p_low, p_split) * (split - low)
    inner = inner + _squares(1.0 - p_split, 1.0 - p_high) * (high - split)
    outside = np.maximum(quantiles[:, 0] - truth, 0.0) + np.maximum(truth - quantiles[:, -1], 0.0)
    scores: Floats = inner.sum(axis=1) + outside
    return scores


def crps_of_members(members: Floats, truth: float) -> float:
    """Return the score of a sample: mean distance to the truth less half that among members."""
    ordered = np.sort(members)
    count = len(ordered)
    weights = 2.0 * np.arange(1, count + 1) - count - 1.0
    spread = 2.0 * float(weights @ ordered) / count**2
    return float(np.mean(np.abs(ordered - truth))) - 0.5 * spread


def covered(quantiles: Floats, truth: Floats, *, band: str) -> float:
    """Return the share of truths inside the band, its ends included."""
    low, high = BANDS[band]
    return float(np.mean((quantiles[:, low] <= truth) & (truth <= quantiles[:, high])))


def width(quantiles: Floats, *, band: str) -> float:
    """Return the median width of a band."""
    low, high = BANDS[band]
    return float(np.median(quantiles[:, high] - quantiles[:, low]))


def paired_gain(ours: Floats, theirs: Floats) -> Gain:
    """Return ours less theirs; below zero we are the better."""
    differences = ours - theirs
    rng = np.random.default_rng(_BOOTSTRAP_SEED)
    drawn = rng.integers(len(differences), size=(_DRAWS, len(differences)))
    low, high = np.quantile(differences[drawn].mean(axis=1), [0.025, 0.975])
    return Gain(mean=float(differences.mean()), low=float(low), high=float(high))


def _squares(first: Floats, last: Floats) -> Floats:
    """Return the mean square of a line from ``first`` to ``last``."""
    return (first * first + first * last + last * last) / 3.0
