"""The members of several courses as columns of one state, and what each column is to do."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from chemistry.cycling.arrays import (
    ALKALINITY,
    NITRITE,
    TAN,
    Floats,
    Precision,
    Reals,
    Truths,
    Whole,
)
from chemistry.cycling.challenge import Challenge, challenge
from chemistry.cycling.columns import Columns
from chemistry.cycling.course import Course, conditions_ahead
from chemistry.cycling.keeping import habits
from chemistry.cycling.model import TRACE_MEQ_L, Conditions, Kinetics
from chemistry.cycling.proof import Proof
from chemistry.feed import ALKALINITY_MEQ_PER_MG_N

# Multiples of these, modulo 1, fall evenly and never in step: shares of checks and members come
# out right without a draw, so a batch gives each case what it gets alone.
_GOLDEN: Final = 0.6180339887498949
_EVENLY: Final = 0.7548776662466927
_APART: Final = 1009.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Orders(Columns):
    """A keeper's plan; doses are what this column's water makes of them.

    ``first_dose`` is not a number where the plan decides the first dose too. Alkalinity is
    added at or below ``alkalinity_at``, the alkalinity that goes with the plan's pH. ``comes``
    is the share of checks kept; ``turn`` spreads the missed ones over the members of a case.
    """

    tan_at: Reals
    nitrite_at: Reals
    redose: Reals
    first_dose: Reals
    alkalinity_at: Reals
    alkalinity_step: Reals
    comes: Reals
    turn: Reals

    def are_kept(self, check: int) -> Truths:
        """Return whose keeper comes to a check; to the first, now, every one does."""
        kept: Truths = (self.turn + check * _EVENLY) % 1.0 < self.comes
        return kept | (check == 0)

    def dose(self, state: Reals, *, check: int) -> Reals:
        due = (state[TAN] <= self.tan_at) & (state[NITRITE] <= self.nitrite_at)
        planned: Reals = (due & self.are_kept(check)) * self.redose
        if check:
            return planned
        return np.where(np.isnan(self.first_dose), planned, self.first_dose)

    def is_low(self, state: Reals, *, check: int) -> Truths:
        low: Truths = (state[ALKALINITY] <= self.alkalinity_at) & (self.alkalinity_step > 0.0)
        return low & self.are_kept(check)


@dataclass(frozen=True, slots=True, kw_only=True)
class Convoy(Columns):
    """One column per member, and one more for the twin of a member that has once buffered.

    ``place`` numbers the members of all courses, twins again from their count on.
    """

    state: Reals
    kinetics: Kinetics
    steady: Conditions
    feed_left_mg_l_n: Reals
    orders: Orders
    asked: Challenge
    proof: Proof
    days: Whole
    place: Whole
    is_twin: Truths
    has_twin: Truths

    @property
    def width(self) -> int:
        return len(self.place)

    def is_lost(self) -> Truths:
        """Return which columns can pass no more: too little alkalinity, and none to come."""
        needed = ALKALINITY_MEQ_PER_MG_N * (self.asked.tan_mg_l_n - self.asked.tan_limit_mg_l_n)
        lost: Truths = (self.orders.alkalinity_step == 0.0) & (self.state[ALKALINITY] < needed)
        return lost

    def with_twins_of(self, parents: Whole, *, members: int) -> "Convoy":
        """Return the convoy with columns that go on as these would without any buffering."""
        twins = np.arange(self.width, self.width + len(parents))
        self.has_twin[parents] = True
        convoy = self.of(np.concatenate([np.arange(self.width), parents]))
        convoy.orders.alkalinity_step[twins] = 0.0
        convoy.is_twin[twins] = True
        convoy.place[twins] += members
        return convoy


def convoy(courses: Sequence[Course], *, precision: Precision) -> Convoy:
    """Return the members of courses of one rhythm side by side."""
    counts = [course.members.count for course in courses]
    owner, members = np.repeat(np.arange(len(courses)), counts), sum(counts)
    state = np.concatenate([course.state for course in courses], axis=1)
    kinetics = Kinetics.joined([course.members.kinetics for course in courses])
    feed = [course.feed_left_mg_l_n for course in courses]
    return Convoy(
        state=state.astype(precision),
        kinetics=kinetics.cast(precision),
        steady=Conditions.joined([conditions_ahead(course.case) for course in courses])
        .of(owner)
        .cast(precision),
        feed_left_mg_l_n=np.array(feed)[owner].astype(precision),
        orders=_orders(courses, kinetics, owner, precision),
        asked=challenge([course.case.ready for course in courses]).cast(precision).of(owner),
        proof=Proof.none_yet(members),
        days=np.array([course.days for course in courses])[owner],
        place=np.arange(members),
        is_twin=np.zeros(members, dtype=np.bool_),
        has_twin=np.zeros(members, dtype=np.bool_),
    )


def _orders(
    courses: Sequence[Course], kinetics: Kinetics, owner: Whole, precision: Precision
) -> Orders:
    plans = [course.case.plan for course in courses]
    scale = np.concatenate([course.members.dose_scale for course in courses])
    first = [course.first_dose_mg_l_n for course in courses]

    def each(values: Sequence[float | None]) -> Floats:
        return np.array(values, dtype=np.float64)[owner]

    acidity = 10.0 ** (8.0 - each([plan.adds_alkalinity_when_ph_at_or_below for plan in plans]))
    kept = [habits(course.case) for course in courses]
    turn = np.concatenate([np.arange(course.members.count) * _GOLDEN % 1.0 for course in courses])
    buffers = turn * _APART % 1.0 < each([one.buffers for one in kept])
    orders = Orders(
        tan_at=each([plan.tan_at_or_below_mg_l_n for plan in plans]),
        nitrite_at=each([plan.nitrite_at_or_below_mg_l_n for plan in plans]),
        redose=each([plan.redose_mg_l_n for plan in plans]) * scale,
        first_dose=each(first) * scale,
        alkalinity_at=kinetics.kappa / acidity - TRACE_MEQ_L,
        alkalinity_step=buffers * each([one.step_meq_l for one in kept]),
        comes=each([one.comes for one in kept]),
        turn=turn,
    )
    return orders.cast(precision)
