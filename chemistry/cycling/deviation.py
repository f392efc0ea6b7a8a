"""What it costs to leave the plan: the same members live both ways, and the difference is told.

A difference of medians is only as good as the members it was counted over, so it comes with the
span that 95 of 100 redraws of them give. None of this permits a dose over the cap.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final, Literal, TypeAlias

import numpy as np

from chemistry.cycling.arrays import HOURS_PER_DAY, Floats, Whole
from chemistry.cycling.case import Case, DosingPlan
from chemistry.cycling.course import Course
from chemistry.cycling.members import Members
from chemistry.cycling.plan import follow_each

Departure: TypeAlias = Literal[
    "skip_dose", "half_doses", "double_doses", "ignore_nitrite", "never_buffer"
]

_REDRAWS: Final = 200
_SPAN: Final = (0.025, 0.975)
_WHATEVER_MG_L_N: Final = 1e3
_PLANS: Final[dict[Departure, Callable[[DosingPlan], DosingPlan]]] = {
    "half_doses": lambda plan: replace(plan, redose_mg_l_n=0.5 * plan.redose_mg_l_n),
    "double_doses": lambda plan: replace(plan, redose_mg_l_n=2.0 * plan.redose_mg_l_n),
    "ignore_nitrite": lambda plan: replace(plan, nitrite_at_or_below_mg_l_n=_WHATEVER_MG_L_N),
    "never_buffer": lambda plan: replace(plan, alkalinity_step_meq_l=0.0),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Deviation:
    """Later is positive. Spans hold 95 of 100 redraws of the members.

    ``delay_d`` compares medians; ``is_bound`` says that one lies past the horizon and was taken
    to lie there. ``never_rise`` is the change of the chance of no pass by the horizon;
    ``over_cap`` bounds the chance that a dose lifts TAN over the cap.
    """

    departure: Departure
    delay_d: float
    delay_span_d: tuple[float, float]
    never_rise: float
    never_span: tuple[float, float]
    over_cap: float
    is_bound: bool


def deviations(
    state: Floats, *, case: Case, members: Members, rng: np.random.Generator
) -> tuple[Deviation, ...]:
    """Weigh every departure against the plan, both lived from ``state`` at now."""
    courses = {
        departure: _departing(departure, Course(case=case, state=state, members=members))
        for departure in (None, "skip_dose", *_PLANS)
    }
    outlooks = follow_each(list(courses.values()))
    by_horizon = [np.minimum(outlook.ready_at_h, case.ready.horizon_h) for outlook in outlooks]
    draws = rng.integers(0, members.count, (_REDRAWS, members.count))
    return tuple(
        _weighed(departure, departed, by_horizon[0], draws=draws, case=case, members=members)
        for departure, departed in zip(courses, by_horizon, strict=True)
        if departure
    )


def _departing(departure: Departure | None, course: Course) -> Course:
    if departure == "skip_dose":
        return replace(course, first_dose_mg_l_n=0.0)
    return replace(course, case=replace(course.case, plan=_plan_of(departure, course.case)))


def _plan_of(departure: Departure | None, case: Case) -> DosingPlan:
    change = _PLANS.get(departure) if departure else None
    return change(case.plan) if change else case.plan


def _weighed(
    departure: Departure,
    departed: Floats,
    by_plan: Floats,
    *,
    draws: Whole,
    case: Case,
    members: Members,
) -> Deviation:
    horizon_h = case.ready.horizon_h
    delays_d = (_medians(departed, draws) - _medians(by_plan, draws)) / HOURS_PER_DAY
    never = (departed >= horizon_h).astype(float) - (by_plan >= horizon_h)
    middles = [float(np.median(ready)) for ready in (departed, by_plan)]
    return Deviation(
        departure=departure,
        delay_d=(middles[0] - middles[1]) / HOURS_PER_DAY,
        delay_span_d=_span(delays_d),
        never_rise=float(never.mean()),
        never_span=_span(never[draws].mean(axis=1)),
        over_cap=_over_cap(_plan_of(departure, case), members),
        is_bound=max(middles) >= horizon_h,
    )


def _medians(ready_h: Floats, draws: Whole) -> Floats:
    medians: Floats = np.median(ready_h[draws], axis=1)
    return medians


def _span(redrawn: Floats) -> tuple[float, float]:
    low, high = np.quantile(redrawn, _SPAN).tolist()
    return low, high


def _over_cap(plan: DosingPlan, members: Members) -> float:
    """Return the share that a dose on the most TAN the plan doses at would lift over the cap."""
    highest = plan.tan_at_or_below_mg_l_n + plan.redose_mg_l_n * members.dose_scale
    return float(np.mean(highest > plan.tan_cap_mg_l_n))
