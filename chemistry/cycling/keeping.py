"""How a keeper keeps to the plan, as the record shows it: how often they come, whether they buffer.

A plan is written for every check; keepers miss days, and some who wrote that they buffer never
do. What was seen is counted against a little of what is usual (common practice, no source).
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from chemistry.cycling.arrays import HOURS_PER_DAY
from chemistry.cycling.case import AlkalinityAddition, Case

_COMES: Final = (3.2, 4.0)  # as if they had come on 3.2 of 4 days before
_BUFFERS: Final = (1.96, 2.0)
_BUFFERS_UNPLANNED: Final = (0.1, 2.0)
_USUAL_STEP_MEQ_L: Final = 1.5
_SOON_H: Final = 24.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Habits:
    """``comes`` is the share of checks kept, ``buffers`` the chance that pH is ever answered."""

    comes: float
    buffers: float
    step_meq_l: float


def habits(case: Case) -> Habits:
    """Return what the record of ``case`` shows of its keeper."""
    return Habits(comes=_comes(case), buffers=_buffers(case), step_meq_l=_step_meq_l(case))


def _comes(case: Case) -> float:
    days = case.now_h / HOURS_PER_DAY
    read = {
        int(reading.t_h // HOURS_PER_DAY)
        for reading in case.readings
        if reading.parameter in ("tan", "nitrite")
    }
    usual, of = _COMES
    return min((min(len(read), days) + usual) / (days + of), 1.0)


def _buffers(case: Case) -> float:
    """Count the low pH readings that were answered, and additions made without one."""
    added_h = [event.t_h for event in case.events if isinstance(event, AlkalinityAddition)]
    low_h = [
        reading.t_h
        for reading in case.of("ph")
        if reading.span.high <= case.plan.adds_alkalinity_when_ph_at_or_below
    ]
    answered = sum(any(_follows(one_h, low) for one_h in added_h) for low in low_h)
    unasked = sum(not any(_follows(one_h, low) for low in low_h) for one_h in added_h)
    usual, of = _BUFFERS if case.plan.alkalinity_step_meq_l > 0.0 else _BUFFERS_UNPLANNED
    return (answered + unasked + usual) / (len(low_h) + unasked + of)


def _follows(added_h: float, read_h: float) -> bool:
    return read_h <= added_h <= read_h + _SOON_H


def _step_meq_l(case: Case) -> float:
    if case.plan.alkalinity_step_meq_l > 0.0:
        return case.plan.alkalinity_step_meq_l
    added = [event.rise_meq_l for event in case.events if isinstance(event, AlkalinityAddition)]
    return float(np.median(added)) if added else _USUAL_STEP_MEQ_L
