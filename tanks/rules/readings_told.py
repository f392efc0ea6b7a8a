"""Readings of one parameter in a time, told by their least, middle and greatest. Pure.

Nothing is averaged and nothing below detection counts as nothing: a bound stays a bound.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from facility.rules.wording import written
from tanks.rules.values import Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """As finished text, in canonical units; ``count`` readings."""

    count: int
    least: str
    median: str
    greatest: str


def spread(intervals: Iterable[Interval]) -> Spread:
    """Return what the readings span; there must be at least one.

    Ordered by what each is at least, then at most. Of an even number the median is the mean of
    the middle two where both are exact, else it lies from one to the other.
    """
    rows = sorted(intervals, key=lambda one: (one.low, one.top))
    return Spread(
        count=len(rows),
        least=bounded(rows[0]),
        median=bounded(_middle(rows)),
        greatest=bounded(max(rows, key=lambda one: (one.top, one.low))),
    )


def bounded(value: Interval) -> str:
    """``0.5``, ``below 0.25``, ``above 5``, ``10 to 20``."""
    if value.high is None:
        return f"above {written(value.low)}"
    if value.is_exact:
        return written(value.low)
    if value.low <= 0:
        return f"below {written(value.high)}"
    return f"{written(value.low)} to {written(value.high)}"


def _middle(rows: Sequence[Interval]) -> Interval:
    below, above = rows[(len(rows) - 1) // 2], rows[len(rows) // 2]
    if below.is_exact and above.is_exact:
        middle = (below.low + above.low) / 2
        return Interval(middle, middle)
    high = None if above.high is None or below.high is None else max(below.high, above.high)
    return Interval(below.low, high)
