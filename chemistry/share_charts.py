"""The chart of a share: how many of equal samples show something, such as dead or spoilt.

Montgomery, *Introduction to Statistical Quality Control*: mean share ± 3 √(p(1 - p)/n). The
normal law stands behind it, so it fits only where about five or more are expected in a sample.
"""

import math
from collections.abc import Sequence
from statistics import fmean
from typing import Final

from chemistry.control_charts import GROUPS, Limits
from chemistry.domain import Range, within

SAMPLE: Final = Range(name="size of a sample", unit="", low=1, high=1e6)
EXPECTED_FOR_THE_NORMAL_LAW: Final = 5.0


def share_limits(counts: Sequence[float], *, size: int) -> Limits:
    """Return limits as shares from 0 to 1, of samples of ``size`` each.

    Raises:
        OutOfRange: fewer than two samples, or a count below zero or above the size.
    """
    within(SAMPLE, size=float(size))
    within(GROUPS, counts=float(len(counts)))
    possible = Range(name="count", unit="", low=0, high=size)
    for count in counts:
        within(possible, counts=count)
    shares = [count / size for count in counts]
    centre = fmean(shares)
    reach = 3 * math.sqrt(centre * (1 - centre) / size)
    lower, upper = max(0.0, centre - reach), min(1.0, centre + reach)
    outside = tuple(at for at, share in enumerate(shares) if not lower <= share <= upper)
    return Limits(lower=lower, centre=centre, upper=upper, outside=outside)
