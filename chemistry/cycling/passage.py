"""Carrying a convoy from now past its horizons, a week at a time.

The week's challenges run together once it is over, so a member that is ready lives on to the
end of its week; what it does then counts for nothing.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from chemistry.cycling.arrays import ALKALINITY, HOURS_PER_DAY, TAN, Floats, Reals, Whole
from chemistry.cycling.challenge import could_pass, scores, unmoved_score
from chemistry.cycling.columns import WIDEST, taken
from chemistry.cycling.convoy import Convoy
from chemistry.cycling.course import Rhythm
from chemistry.cycling.integrator import FORECAST_STEP_H, advance

_WEEK: Final = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class _Summons:
    """Columns whose challenge begins on a day of the week, and their state then."""

    day: int
    asked: Whole
    state: Reals


class Passage:
    """A convoy under way, and what is noted of it.

    ``began`` is the day on which each place became ready: all members by the plan, then their
    twins, who buffered nothing, where there ever was one.
    """

    def __init__(self, convoy: Convoy, *, rhythm: Rhythm, kept_days: int) -> None:
        self._convoy = convoy
        self._members = convoy.width
        self._checks, _, self._sustained = rhythm
        self._kept_days = kept_days
        self._summons: list[_Summons] = []
        self._forks: list[tuple[int, Whole]] = []
        self.began = np.full(2 * convoy.width, np.inf)
        self.has_twin = np.zeros(convoy.width, dtype=np.bool_)
        self.kept: list[Reals] = []

    def run(self) -> None:
        first = 0
        while self._convoy.width:
            for day in range(first, first + _WEEK):
                self._live_a_day(day)
            self._judge(first)
            first += _WEEK
            self._let_go(first)

    def _live_a_day(self, day: int) -> None:
        self._summon(day)
        count = math.ceil(HOURS_PER_DAY / 2 / self._checks / FORECAST_STEP_H)
        hours = HOURS_PER_DAY / 2 / self._checks / count
        for check in range(self._checks):
            self._check(day, day * self._checks + check)
            self._pass(count, hours, day)
            if day < self._kept_days:
                self.kept.append(self._convoy.state[:, : self._members].copy())
            self._pass(count, hours, day)

    def _summon(self, day: int) -> None:
        convoy = self._convoy
        able = could_pass(
            convoy.state, kinetics=convoy.kinetics, at=convoy.steady, asked=convoy.asked
        )
        asked = np.flatnonzero(able & ~convoy.proof.is_ready)
        self._summons.append(_Summons(day=day, asked=asked, state=taken(convoy.state, asked)))

    def _check(self, day: int, check: int) -> None:
        convoy = self._convoy
        state, orders = convoy.state, convoy.orders
        state[TAN] += orders.dose(state, check=check)
        low = orders.is_low(state, check=check)
        parents = np.flatnonzero(low & ~(convoy.has_twin | convoy.is_twin | convoy.proof.is_ready))
        if parents.size:
            self._convoy = convoy.with_twins_of(parents, members=self._members)
            self._forks.append((day, parents))
            self.has_twin[convoy.place[parents]] = True
        buffering = np.flatnonzero(low)
        self._convoy.state[ALKALINITY, buffering] += orders.alkalinity_step[buffering]

    def _pass(self, count: int, hours: float, day: int) -> None:
        at = self._convoy.steady.over(hours)
        if day == 0:
            at = replace(at, feed_mg_l_n=self._convoy.feed_left_mg_l_n * (hours / HOURS_PER_DAY))
        for _ in range(count):
            advance(self._convoy.state, of=self._convoy.kinetics, at=at)

    def _judge(self, first: int) -> None:
        """Run the challenges of the week and take their scores into the proof."""
        convoy = self._convoy
        daily = np.tile(unmoved_score(convoy.asked), (_WEEK, 1))
        for summons, score in zip(self._summons, self._challenged(), strict=True):
            daily[summons.day - first, summons.asked] = score
        self._share_with_twins(daily, first)
        proof = convoy.proof
        for day, score in enumerate(daily, start=first):
            proof = proof.after(score, day=day, sustained=self._sustained)
        self._convoy = replace(convoy, proof=proof)
        self._summons, self._forks = [], []

    def _share_with_twins(self, daily: Floats, first: int) -> None:
        """Write into this week's twins what their parents scored before they parted."""
        twin = self._convoy.width - sum(len(parents) for _, parents in self._forks)
        for day, parents in self._forks:
            together, twins = slice(0, day - first + 1), slice(twin, twin + len(parents))
            daily[together, twins] = daily[together, parents]
            twin = twins.stop

    def _challenged(self) -> Iterator[Floats]:
        """Return the scores of each summons of the week."""
        asked = np.concatenate([summons.asked for summons in self._summons])
        state = np.concatenate([summons.state for summons in self._summons], axis=1)
        found = [
            self._scored(state[:, piece : piece + WIDEST], asked[piece : piece + WIDEST])
            for piece in range(0, len(asked), WIDEST)
        ]
        ends = np.cumsum([len(summons.asked) for summons in self._summons])
        return iter(np.split(np.concatenate([*found, np.empty(0)]), ends[:-1]))

    def _scored(self, state: Reals, asked: Whole) -> Floats:
        convoy = self._convoy
        return scores(
            state,
            kinetics=convoy.kinetics.of(asked),
            at=convoy.steady.of(asked),
            asked=convoy.asked.of(asked),
        )

    def _let_go(self, next_day: int) -> None:
        """Take note of the columns that are through, and carry only the others on."""
        convoy = self._convoy
        through = convoy.proof.is_ready | convoy.is_lost() | (convoy.days <= next_day)
        goes = through & (convoy.is_twin | (next_day >= self._kept_days))
        began = np.where(convoy.proof.is_ready, convoy.proof.began, np.inf)
        self.began[convoy.place[goes]] = began[goes]
        self._convoy = convoy.of(np.flatnonzero(~goes))
