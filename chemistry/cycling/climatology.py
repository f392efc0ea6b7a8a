"""What is believed of the day of a first pass before anything is read, given that none came yet.

Set from what the trade says of a seed that took, about two weeks or less, and of water without
one, four to eight; brackish and sea water take longer (common practice, no source; Nijhof &
Bovendeur 1990 for sea water). In the first days readings tell little of a live seed, and dates
from the ensemble mixed with these are nearer than either alone.
"""

import math
from functools import cache
from typing import Final

import numpy as np

from chemistry.cycling.arrays import HOURS_PER_DAY, Floats, Truths
from chemistry.cycling.case import Case, Kind

# Medians in days and standard deviations of logarithms: log-normal, as most waiting times are.
_SEEDED: Final = (13.0, 0.5)
_UNSEEDED: Final = (42.0, 0.35)
_LONGER: Final[dict[Kind, float]] = {"fresh": 1.0, "brackish": 1.1, "marine": 1.35}
_DAYS: Final = np.geomspace(0.25, 400.0, 600)
_BEFORE_ANY_VISIT: Final = 0.5
_VISITS: Final = 6.0  # after this many, a third of that share is left; measured, gone by day 14


def tempered(ready_at_h: Floats, *, by: Truths, case: Case) -> Floats:
    """Return the members' dates with some given over to what is usual, as many and sorted.

    ``by`` marks the members of nothing but the usual story; of these too the ones that would
    pass now, or never, keep what they say.
    """
    is_open = by & np.isfinite(ready_at_h) & (ready_at_h > case.now_h)
    dates = np.sort(ready_at_h[is_open])
    given = round(_share(case) * len(dates))
    kept = np.quantile(dates, _middles(len(dates) - given)) if given < len(dates) else dates[:0]
    usual = usual_at_h(_middles(given), case=case)
    usual = np.where(usual <= case.ready.horizon_h, usual, np.inf)
    return np.sort(np.concatenate([ready_at_h[~is_open], kept, usual]))


def usual_at_h(levels: Floats, *, case: Case) -> Floats:
    """Return quantiles of the first pass where nothing is known but that it has not come yet."""
    came = _came(case.is_seeded, case.system.water)
    now = np.interp(case.now_h / HOURS_PER_DAY, _DAYS, came)
    days = np.interp(now + (1.0 - now) * levels, came, _DAYS)
    at_h: Floats = np.maximum(days * HOURS_PER_DAY, case.now_h)
    return at_h


def _share(case: Case) -> float:
    """Return the share of dates given over, falling with every day that read both nitrogens."""
    tan, nitrite = (
        {reading.t_h // HOURS_PER_DAY for reading in case.of(name)} for name in ("tan", "nitrite")
    )
    return _BEFORE_ANY_VISIT * math.exp(-len(tan & nitrite) / _VISITS)


def _middles(count: int) -> Floats:
    middles: Floats = (np.arange(count) + 0.5) / max(count, 1)
    return middles


@cache
def _came(is_seeded: bool, water: Kind) -> Floats:  # noqa: FBT001 - cached by position
    """Return the share that has passed by each of ``_DAYS``."""
    median_d, spread = _SEEDED if is_seeded else _UNSEEDED
    longer = _LONGER[water]
    return np.array([_normal(math.log(day / (median_d * longer)) / spread) for day in _DAYS])


def _normal(sds: float) -> float:
    return 0.5 * math.erfc(-sds / math.sqrt(2.0))
