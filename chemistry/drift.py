"""A slow drift too small for a single reading to show: the tabular cumulative sum.

Montgomery & Runger, *Applied Statistics and Probability for Engineers*, section 16-8. Sums grow
by what a reading exceeds the target by more than an allowance, and never fall below zero.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from chemistry.domain import Range, within

READING: Final = Range(name="reading", unit="", low=-1e6, high=1e6)
TARGET: Final = Range(name="target", unit="", low=-1e6, high=1e6)
DEVIATION: Final = Range(name="standard deviation", unit="", low=1e-9, high=1e6)
ALLOWANCE: Final = Range(name="allowance in standard deviations", unit="", low=0.0, high=5.0)
DECISION: Final = Range(name="decision in standard deviations", unit="", low=0.5, high=50.0)

# Half the shift to be found, and a limit that gives one false alarm in 465 readings (computed
# as a Markov chain of normal readings).
USUAL_ALLOWANCE: Final = 0.5
USUAL_DECISION: Final = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sums:
    """After one reading, in its unit; the ages count the readings since each sum was zero."""

    upper: float
    lower: float
    upper_age: int
    lower_age: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Drift:
    """The sums after each reading; ``beyond`` holds the places, from 0, past the decision."""

    sums: tuple[Sums, ...]
    decision: float
    beyond: tuple[int, ...]


def cumulative(
    readings: Sequence[float],
    *,
    target: float,
    standard_deviation: float,
    allowance_sd: float = USUAL_ALLOWANCE,
    decision_sd: float = USUAL_DECISION,
) -> Drift:
    within(TARGET, target=target)
    within(DEVIATION, standard_deviation=standard_deviation)
    within(ALLOWANCE, allowance_sd=allowance_sd)
    within(DECISION, decision_sd=decision_sd)
    sums = _sums(readings, target, allowance_sd * standard_deviation)
    decision = decision_sd * standard_deviation
    beyond = tuple(at for at, one in enumerate(sums) if max(one.upper, one.lower) > decision)
    return Drift(sums=sums, decision=decision, beyond=beyond)


def _sums(readings: Sequence[float], target: float, allowance: float) -> tuple[Sums, ...]:
    now = Sums(upper=0.0, lower=0.0, upper_age=0, lower_age=0)
    found: list[Sums] = []
    for reading in readings:
        within(READING, readings=reading)
        upper = max(0.0, now.upper + (reading - target - allowance))
        lower = max(0.0, now.lower + (target - reading - allowance))
        now = Sums(
            upper=upper,
            lower=lower,
            upper_age=now.upper_age + 1 if upper else 0,
            lower_age=now.lower_age + 1 if lower else 0,
        )
        found.append(now)
    return tuple(found)
