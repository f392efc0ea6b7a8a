"""The future: every member follows the keeper's plan on its own water, as the keeper will."""

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from chemistry.cycling.arrays import ALKALINITY, HOURS_PER_DAY, NITRITE, TAN, Floats, Truths
from chemistry.cycling.case import Case, DosingPlan, Feed
from chemistry.cycling.challenge import days_sustained, scores
from chemistry.cycling.integrator import step
from chemistry.cycling.members import Members
from chemistry.cycling.model import Conditions, conditions, ph
from chemistry.cycling.timeline import FEED_LASTS_H, climate

FORECAST_STEP_H: Final = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """Daily challenge scores (days, members) from now on, and states kept on the way.

    ``has_buffered`` marks the members that added alkalinity before they were ready for good.
    """

    daily: Floats
    kept_h: tuple[float, ...]
    kept: Floats
    has_buffered: Truths


def conditions_ahead(case: Case) -> Conditions:
    """Return the conditions at now, which the forecast takes as lasting."""
    weather = climate(case)
    now_h = np.array([case.now_h])
    salinity_g_kg = np.array([weather.salinity_g_kg(case.now_h)])
    return next(conditions(temperature_c=weather.temperature_c(now_h), salinity_g_kg=salinity_g_kg))


def follow(state: Floats, *, case: Case, members: Members, least_days: int = 0) -> Outlook:
    """Carry the members from now past the horizon, each by the keeper's plan.

    After ``least_days`` it ends as soon as every member is ready for good.
    """
    steady = conditions_ahead(case)
    today = replace(steady, feed_mg_l_d=_feed_left_mg_l(case))
    course = _Course(state, case=case, members=members)
    for day in range(_days(case)):
        course.challenge(steady)
        if day > least_days and course.is_over:
            break
        course.live_a_day(today)
        today = steady
    return course.outlook()


class _Course:
    """The members on their way, and what has been noted of it."""

    def __init__(self, state: Floats, *, case: Case, members: Members) -> None:
        self._state = state
        self._case = case
        self._members = members
        self._daily: list[Floats] = []
        self._hour = case.now_h
        self._kept_h: list[float] = []
        self._kept: list[Floats] = []
        self._has_buffered = np.zeros(members.count, dtype=np.bool_)
        self._settled = np.zeros(members.count, dtype=np.bool_)

    @property
    def is_over(self) -> bool:
        return bool(self._settled.all())

    def challenge(self, at: Conditions) -> None:
        """Score a challenge begun now; whoever is ready for good is not asked again."""
        score = scores(
            self._state,
            asked=~self._settled,
            kinetics=self._members.kinetics,
            at=at,
            definition=self._case.ready,
        )
        score[self._settled] = -1.0
        self._daily.append(score)
        self._settle()

    def _settle(self) -> None:
        proof = self._daily[-(1 + days_sustained(self._case.ready)) :]
        if len(proof) > days_sustained(self._case.ready):
            self._settled = np.asarray(np.stack(proof).max(axis=0) <= 0.0)

    def live_a_day(self, at: Conditions) -> None:
        """Check, and halfway to the next check keep the state: neither peak nor trough."""
        between_h = HOURS_PER_DAY / self._case.plan.checks_per_day
        for _ in range(self._case.plan.checks_per_day):
            self._check()
            self._pass(between_h / 2, at)
            self._keep()
            self._pass(between_h / 2, at)

    def _pass(self, hours: float, at: Conditions) -> None:
        self._state = _later(self._state, hours, self._members, at)
        self._hour += hours

    def _keep(self) -> None:
        self._kept_h.append(self._hour)
        self._kept.append(self._state)

    def _check(self) -> None:
        before = self._state
        self._state = checked(before, self._case.plan, members=self._members)
        self._has_buffered |= ~self._settled & (self._state[ALKALINITY] > before[ALKALINITY])

    def outlook(self) -> Outlook:
        return Outlook(
            daily=np.stack(self._daily),
            kept_h=tuple(self._kept_h),
            kept=np.stack(self._kept),
            has_buffered=self._has_buffered,
        )


def _days(case: Case) -> int:
    """Return how many daily challenges reach the horizon and prove its last one sustained."""
    ahead_h = max(case.ready.horizon_h - case.now_h, 0.0) + case.ready.sustained_h
    return math.ceil(ahead_h / HOURS_PER_DAY) + 1


def _feed_left_mg_l(case: Case) -> float:
    return sum(
        event.rise_mg_l_n * max(1.0 - (case.now_h - event.t_h) / FEED_LASTS_H, 0.0)
        for event in case.events
        if isinstance(event, Feed)
    )


def checked(state: Floats, plan: DosingPlan, *, members: Members) -> Floats:
    """Return the state after a check at which the plan is followed."""
    after = state.copy()
    due = (state[TAN] <= plan.tan_at_or_below_mg_l_n) & (
        state[NITRITE] <= plan.nitrite_at_or_below_mg_l_n
    )
    after[TAN] += due * plan.redose_mg_l_n * members.dose_scale
    low = ph(state, kappa=members.kinetics.kappa) <= plan.adds_alkalinity_when_ph_at_or_below
    after[ALKALINITY] += low * plan.alkalinity_step_meq_l
    return after


def _later(state: Floats, hours: float, members: Members, at: Conditions) -> Floats:
    count = math.ceil(hours / FORECAST_STEP_H)
    for _ in range(count):
        state = step(state, hours=hours / count, of=members.kinetics, start=at, end=at)
    return state
