"""Rules for control samples: when to warn, when to reject a run of tests.

Westgard, Barry, Hunt & Groth (1981), Clin. Chem. 27:493-501, after Table 1 of PMC3909142.
*Beyond* is strictly more than so many standard deviations from the mean. R-4s needs two
controls in one run, on opposite sides; the plain range over 4 s would reject 4.5 times as often.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from itertools import groupby
from typing import Final

from chemistry.domain import Range, within

READING: Final = Range(name="reading", unit="", low=-1e6, high=1e6)
MEAN: Final = Range(name="mean of the control", unit="", low=-1e6, high=1e6)
DEVIATION: Final = Range(name="standard deviation", unit="", low=1e-9, high=1e6)
PER_RUN: Final = Range(name="controls in a run", unit="", low=1, high=6)


class Error(StrEnum):
    """Which kind of error a rule catches best."""

    EITHER = "warning only: inspect"
    RANDOM = "random error"
    SYSTEMATIC = "systematic error"


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """A rule broken by the controls at ``first`` to ``last``, counted from 0."""

    rule: str
    error: Error
    first: int
    last: int

    @property
    def rejects(self) -> bool:
        return self.error is not Error.EITHER


def breaks(
    readings: Sequence[float], *, mean: float, standard_deviation: float, per_run: int = 1
) -> tuple[Break, ...]:
    """Return every break in the order of its last control; readings in the order taken.

    A streak is told once, from its first to its last control.
    """
    within(MEAN, mean=mean)
    within(DEVIATION, standard_deviation=standard_deviation)
    within(PER_RUN, per_run=float(per_run))
    for reading in readings:
        within(READING, readings=reading)
    scores = [(reading - mean) / standard_deviation for reading in readings]
    found = [*_single(scores), *_streaks(scores), *_within_runs(scores, per_run)]
    return tuple(sorted(found, key=lambda one: (one.last, one.first, one.rule)))


_STREAKS: Final = (("2-2s", 2.0, 2), ("4-1s", 1.0, 4), ("10-x", 0.0, 10))


def _single(scores: Sequence[float]) -> Iterator[Break]:
    for at, score in enumerate(scores):
        if abs(score) > 3:  # noqa: PLR2004 - the rule's own name is 1-3s
            yield Break(rule="1-3s", error=Error.RANDOM, first=at, last=at)
        elif abs(score) > 2:  # noqa: PLR2004 - the rule's own name is 1-2s
            yield Break(rule="1-2s", error=Error.EITHER, first=at, last=at)


def _streaks(scores: Sequence[float]) -> Iterator[Break]:
    for rule, beyond, length in _STREAKS:
        for first, last in _runs(scores, partial(_side, beyond=beyond)):
            if last - first + 1 >= length:
                yield Break(rule=rule, error=Error.SYSTEMATIC, first=first, last=last)


def _runs(scores: Sequence[float], side: Callable[[float], int]) -> Iterator[tuple[int, int]]:
    """Yield first and last place of every stretch on one side, however short."""
    at = 0
    for which, members in groupby(scores, key=side):
        count = len(list(members))
        if which:
            yield at, at + count - 1
        at += count


def _side(score: float, beyond: float) -> int:
    return (score > beyond) - (score < -beyond)


def _within_runs(scores: Sequence[float], per_run: int) -> Iterator[Break]:
    for first in range(0, len(scores), per_run):
        run = scores[first : first + per_run]
        if max(run) > 2 and min(run) < -2:  # noqa: PLR2004 - R-4s: one beyond +2 s, one beyond -2 s
            last = first + len(run) - 1
            yield Break(rule="R-4s", error=Error.RANDOM, first=first, last=last)
