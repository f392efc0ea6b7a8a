"""Whether the plain plan calls for a dose, and how much the ensemble lets it be.

The keeper's own fresh reading decides, as the plan is written for kits; where there is none, or
one that leaves the question open, the ensemble's median does. Then the ensemble may only object.
"""

from typing import Final

import numpy as np

from chemistry.cycling.case import AmmoniumDose, Case, Feed, Reading, WaterChange
from chemistry.cycling.standing import Standing

VETO: Final = 0.03
FRESH_H: Final = 26.0  # yesterday's round at the latest
_LEAST_DOSE_MG_L_N: Final = 0.5
_NITRITE_TIMES: Final = 2.0
_WORST_DOSE: Final = 1.35  # volume and weighing off by three sd of 10 %: exp(0.3)


def last_fresh(case: Case, parameter: str) -> Reading | None:
    """Return the last reading, if it is of today and nothing was done to the water since."""
    last = max(case.of(parameter), key=lambda reading: reading.t_h, default=None)
    if last is None or case.now_h - last.t_h > FRESH_H or altered(case, since_h=last.t_h):
        return None
    return last


def altered(case: Case, *, since_h: float, until_h: float | None = None) -> bool:
    """Tell whether ammonia was added or water exchanged; at equal times a reading came first."""
    end_h = case.now_h + 1.0 if until_h is None else until_h
    return any(
        isinstance(event, AmmoniumDose | Feed | WaterChange) and since_h <= event.t_h < end_h
        for event in case.events
    )


def is_low(case: Case, parameter: str, *, median_mg_l_n: float, limit_mg_l_n: float) -> bool:
    """Tell whether ammonia or nitrite is down to the plan's limit."""
    fresh = last_fresh(case, parameter)
    if fresh is None or fresh.span.low <= limit_mg_l_n < fresh.span.high:
        return median_mg_l_n <= limit_mg_l_n
    return fresh.span.high <= limit_mg_l_n


def ammonia_is_low(now: Standing, case: Case) -> bool:
    limit = case.plan.tan_at_or_below_mg_l_n
    return is_low(case, "tan", median_mg_l_n=now.tan_mg_l_n, limit_mg_l_n=limit)


def nitrite_is_low(now: Standing, case: Case) -> bool:
    """By the reading; but where the whole record speaks of twice the limit, it is not."""
    limit, median = case.plan.nitrite_at_or_below_mg_l_n, now.nitrite_mg_l_n
    is_vetoed = median > _NITRITE_TIMES * limit
    return not is_vetoed and is_low(case, "nitrite", median_mg_l_n=median, limit_mg_l_n=limit)


def planned_dose_mg_l_n(now: Standing, case: Case) -> float:
    """Return the plan's dose, made smaller until the cap is kept; 0 when none is due."""
    if not (ammonia_is_low(now, case) and nitrite_is_low(now, case)):
        return 0.0
    dose = case.plan.redose_mg_l_n
    while not (keeps_cap(now, case, dose_mg_l_n=dose) and _has_room(now, case, dose)):
        dose -= _LEAST_DOSE_MG_L_N
        if dose < _LEAST_DOSE_MG_L_N:
            return 0.0
    return round(dose, 2)


def _has_room(now: Standing, case: Case, dose_mg_l_n: float) -> bool:
    """Tell whether even a water far smaller than believed would stay under the cap.

    Three in a hundred of each dose would add up over a start-up of many.
    """
    held = float(np.quantile(now.tan_members, 1.0 - VETO))
    read = last_fresh(case, "tan")
    held = max(held, read.span.low) if read else held
    return held + _WORST_DOSE * dose_mg_l_n <= case.plan.tan_cap_mg_l_n


def keeps_cap(now: Standing, case: Case, *, dose_mg_l_n: float) -> bool:
    """Tell whether at most three in a hundred members would pass the cap, nor the reading."""
    cap = case.plan.tan_cap_mg_l_n
    read = last_fresh(case, "tan")
    if read is not None and read.span.low + dose_mg_l_n > cap:
        return False
    return now.exceeds(cap_mg_l_n=cap, dose_mg_l_n=dose_mg_l_n) <= VETO
