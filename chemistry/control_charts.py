"""Shewhart charts: limits at three standard errors of a process that is left alone.

ISO 7870-2, ASTM E2587. Only d2, d3 (mean and standard deviation of the range of n standard
normal values, computed from its distribution) and c4 are primary; A2, A3, B3, B4, D3, D4, E2
follow. Printed tables round: D4(3) is 2.574 or 2.575, D4(5) 2.114 or 2.115.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import fmean, stdev
from typing import Final

from chemistry.domain import Range, within

SUBGROUP: Final = Range(name="size of a group", unit="", low=2, high=10)
GROUPS: Final = Range(name="number of groups", unit="", low=2, high=1000)
SINGLES: Final = Range(name="number of readings", unit="", low=3, high=1000)
READING: Final = Range(name="reading", unit="", low=-1e6, high=1e6)

# Keyed by group size, so that no array can be shifted by one.
D2: Final = {
    2: 1.128379,
    3: 1.692569,
    4: 2.058751,
    5: 2.325929,
    6: 2.534413,
    7: 2.704357,
    8: 2.847201,
    9: 2.970026,
    10: 3.077505,
}
D3_OF_RANGE: Final = {
    2: 0.852502,
    3: 0.888368,
    4: 0.879808,
    5: 0.864082,
    6: 0.848039,
    7: 0.833205,
    8: 0.819831,
    9: 0.807834,
    10: 0.797050,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """One chart; ``outside`` holds the places, from 0, of points beyond the limits."""

    lower: float
    centre: float
    upper: float
    outside: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """The chart of level and the chart of scatter belonging to it."""

    level: Limits
    scatter: Limits


def c4(size: int) -> float:
    """Return the mean sample standard deviation of ``size`` standard normal values."""
    within(SUBGROUP, size=float(size))
    ratio = math.exp(math.lgamma(size / 2) - math.lgamma((size - 1) / 2))
    return math.sqrt(2 / (size - 1)) * ratio


def mean_and_range(groups: Sequence[Sequence[float]]) -> Chart:
    """Return the X-bar and R charts of equal groups: A2, D3, D4.

    Raises:
        OutOfRange: fewer than two groups, or groups of other than 2 to 10.
    """
    size = _size(groups)
    ranges = [max(group) - min(group) for group in groups]
    sigma = fmean(ranges) / D2[size]
    return Chart(
        level=_means(groups, sigma=sigma),
        scatter=_scatter(ranges, deviation=D3_OF_RANGE[size] * sigma),
    )


def mean_and_deviation(groups: Sequence[Sequence[float]]) -> Chart:
    """Return the X-bar and S charts of equal groups: A3, B3, B4; same refusals."""
    size = _size(groups)
    deviations = [stdev(group) for group in groups]
    sigma = fmean(deviations) / c4(size)
    spread = sigma * math.sqrt(1 - c4(size) ** 2)
    return Chart(
        level=_means(groups, sigma=sigma),
        scatter=_scatter(deviations, deviation=spread),
    )


def individuals(readings: Sequence[float]) -> Chart:
    """Return the charts of single readings and of their moving range: E2(2) and D4(2).

    A point of the moving range stands at the later of its two readings.
    """
    within(SINGLES, readings=float(len(readings)))
    _check(readings)
    moving = [abs(after - before) for before, after in pairwise(readings)]
    sigma = fmean(moving) / D2[2]
    scatter = _scatter(moving, deviation=D3_OF_RANGE[2] * sigma)
    return Chart(
        level=_level(readings, deviation=sigma),
        scatter=Limits(
            lower=scatter.lower,
            centre=scatter.centre,
            upper=scatter.upper,
            outside=tuple(place + 1 for place in scatter.outside),
        ),
    )


def _size(groups: Sequence[Sequence[float]]) -> int:
    within(GROUPS, groups=float(len(groups)))
    size = len(groups[0])
    within(SUBGROUP, size=float(size))
    for group in groups:
        within(Range(name="size of a group", unit="", low=size, high=size), size=float(len(group)))
        _check(group)
    return size


def _check(readings: Sequence[float]) -> None:
    for reading in readings:
        within(READING, readings=reading)


def _means(groups: Sequence[Sequence[float]], *, sigma: float) -> Limits:
    return _level([fmean(group) for group in groups], deviation=sigma / math.sqrt(len(groups[0])))


def _level(points: Sequence[float], *, deviation: float) -> Limits:
    centre = fmean(points)
    return _judged(points, centre - 3 * deviation, centre, centre + 3 * deviation)


def _scatter(points: Sequence[float], *, deviation: float) -> Limits:
    """A range or standard deviation is never negative, so neither is its lower limit."""
    centre = fmean(points)
    return _judged(points, max(0.0, centre - 3 * deviation), centre, centre + 3 * deviation)


def _judged(points: Sequence[float], lower: float, centre: float, upper: float) -> Limits:
    outside = tuple(at for at, point in enumerate(points) if not lower <= point <= upper)
    return Limits(lower=lower, centre=centre, upper=upper, outside=outside)
