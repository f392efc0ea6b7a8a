"""What it costs to leave the plan: the same members live both ways, and the difference is told.

A difference of medians is only as good as the members it was counted over, so it comes with the
span that 95 of 100 redraws of them give. None of this permits a dose over the cap.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final, Literal, TypeAlias

import numpy as np

from chemistry.cycling.arrays import HOURS_PER_DAY, Floats, Whole
from chemistry.cycling.case import Case, DosingPlan
from chemistry.cycling.challenge import ready_at_h
from chemistry.cycling.integrator import step
from chemistry.cycling.members import Members
from chemistry.cycling.plan import FORECAST_STEP_H, checked, conditions_ahead, follow

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
    planned = follow(state, case=case, members=members)
    draws = rng.integers(0, members.count, (_REDRAWS, members.count))
    by_plan = _by_horizon(planned.daily, case)
    return tuple(
        _weighed(departure, daily, by_plan, draws=draws, case=case, members=members)
        for departure, daily in _departed(state, case, members, planned.daily)
    )


def _departed(
    state: Floats, case: Case, members: Members, planned: Floats
) -> Iterator[tuple[Departure, Floats]]:
    yield "skip_dose", _after_a_day_unfed(state, case, members, planned)
    for departure in _PLANS:
        other = replace(case, plan=_plan_of(departure, case))
        yield departure, follow(state, case=other, members=members).daily


def _plan_of(departure: Departure, case: Case) -> DosingPlan:
    change = _PLANS.get(departure)
    return change(case.plan) if change else case.plan


def _after_a_day_unfed(state: Floats, case: Case, members: Members, planned: Floats) -> Floats:
    """Return daily scores of members that get no ammonia today; today's is the plan's own."""
    at = conditions_ahead(case)
    unfed = checked(state, replace(case.plan, redose_mg_l_n=0.0), members=members)
    for _ in range(int(HOURS_PER_DAY / FORECAST_STEP_H)):
        unfed = step(unfed, hours=FORECAST_STEP_H, of=members.kinetics, start=at, end=at)
    tomorrow = replace(case, now_h=case.now_h + HOURS_PER_DAY)
    later = follow(unfed, case=tomorrow, members=members).daily
    return np.concatenate([planned[:1], later])


def _by_horizon(daily: Floats, case: Case) -> Floats:
    ready = ready_at_h(daily, first_h=case.now_h, definition=case.ready)
    return np.minimum(ready, case.ready.horizon_h)


def _weighed(
    departure: Departure,
    daily: Floats,
    by_plan: Floats,
    *,
    draws: Whole,
    case: Case,
    members: Members,
) -> Deviation:
    horizon_h, departed = case.ready.horizon_h, _by_horizon(daily, case)
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
