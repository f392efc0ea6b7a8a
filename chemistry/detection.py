"""The smallest concentration a method can tell from none.

40 CFR Part 136, Appendix B, revision 2 (2017): MDL_S = t(n-1, 0.99) · s of at least seven
spiked samples; MDL_B from at least seven blanks; the larger is the method detection limit.
The rules for blanks are from memory, unverified. Some state copies print 0.69 and 1.92 as
the 95 % limits for n = 7; those are the 90 % ones.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, stdev
from typing import Final

from chemistry.distributions import chi_square_quantile, t_quantile
from chemistry.domain import Range, within

READING: Final = Range(name="reading", unit="", low=-1e6, high=1e6)
REPLICATES: Final = Range(
    name="number of replicates", unit="", low=7, high=1000, source="40 CFR 136 App. B"
)

ONE_SIDED: Final = 0.99
CONFIDENCE: Final = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class DetectionLimit:
    """In the readings' own unit; ``low`` and ``high`` hold the true limit with 95 %.

    ``from_blanks`` is None without blanks, or when none of them gave a number above zero.
    """

    limit: float
    from_spikes: float
    from_blanks: float | None
    standard_deviation: float
    student_t: float
    mean: float
    low: float
    high: float


def detection_limit(*, spiked: Sequence[float], blanks: Sequence[float] = ()) -> DetectionLimit:
    """Return the limit from replicates that each went through the whole method.

    Raises:
        OutOfRange: fewer than seven spiked samples, or one to six blanks.
    """
    _check(spiked, "spiked")
    student_t = t_quantile(ONE_SIDED, degrees=len(spiked) - 1)
    deviation = stdev(spiked)
    from_spikes = student_t * deviation
    from_blanks = blank_limit(blanks) if blanks else None
    below, above = confidence_factors(len(spiked))
    return DetectionLimit(
        limit=max(from_spikes, from_blanks or 0.0),
        from_spikes=from_spikes,
        from_blanks=from_blanks,
        standard_deviation=deviation,
        student_t=student_t,
        mean=fmean(spiked),
        low=below * from_spikes,
        high=above * from_spikes,
    )


def blank_limit(blanks: Sequence[float]) -> float | None:
    """Return MDL_B: mean + t·s, the highest when only some blanks read above zero, or None.

    A negative mean counts as zero.
    """
    _check(blanks, "blanks")
    if max(blanks) <= 0:
        return None
    if min(blanks) <= 0:
        return max(blanks)
    student_t = t_quantile(ONE_SIDED, degrees=len(blanks) - 1)
    return max(fmean(blanks), 0.0) + student_t * stdev(blanks)


def confidence_factors(replicates: int) -> tuple[float, float]:
    """Return what to multiply MDL_S with for its 95 % limits: 0.644 and 2.202 for seven."""
    within(REPLICATES, replicates=float(replicates))
    degrees = replicates - 1
    tail = (1 - CONFIDENCE) / 2
    return (
        math.sqrt(degrees / chi_square_quantile(1 - tail, degrees=degrees)),
        math.sqrt(degrees / chi_square_quantile(tail, degrees=degrees)),
    )


def _check(readings: Sequence[float], field: str) -> None:
    within(REPLICATES, **{field: float(len(readings))})
    for reading in readings:
        within(READING, **{field: reading})
