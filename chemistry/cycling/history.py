"""Living cases from their start to now, with every member of every case at once."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from chemistry.cycling.arrays import (
    ALKALINITY,
    NITRATE,
    NITRITE,
    STATE_ROWS,
    TAN,
    Floats,
    Precision,
    Reals,
    Whole,
)
from chemistry.cycling.case import AmmoniumDose, Case, Feed
from chemistry.cycling.changes import changed
from chemistry.cycling.columns import batches
from chemistry.cycling.integrator import advance
from chemistry.cycling.members import Members
from chemistry.cycling.model import Conditions, Kinetics
from chemistry.cycling.priors import BACKGROUND_MG_L_D
from chemistry.cycling.timeline import Stop, Timeline

_EARLY_H: Final = 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Life:
    """A case laid out, and the members that are to live it."""

    case: Case
    plot: Timeline
    members: Members


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """``kept`` is (kept times, 6, members); ``now`` the state after the last event."""

    kept: Floats
    now: Floats


def live(plot: Timeline, *, case: Case, members: Members) -> History:
    """Integrate the members along the timeline of their case."""
    return live_each([Life(case=case, plot=plot, members=members)])[0]


def live_each(lives: Sequence[Life], *, precision: Precision = np.float64) -> list[History]:
    """Integrate several cases side by side; each comes out as it would alone."""
    longest_first = sorted(range(len(lives)), key=lambda place: -lives[place].plot.steps)
    found: dict[int, History] = {}
    for places in batches(longest_first, widths=[life.members.count for life in lives]):
        together = _Together([lives[place] for place in places], precision)
        found.update(zip(places, together.lived(), strict=True))
    return [found[place] for place in range(len(lives))]


class _Together:
    """Several lives as one state, the longest first, so that those under way are a prefix."""

    def __init__(self, lives: Sequence[Life], precision: Precision) -> None:
        counts = [life.members.count for life in lives]
        self._lives = lives
        self._edges = np.cumsum([0, *counts])
        self._owner = np.repeat(np.arange(len(lives)), counts)
        self._state: Reals = np.concatenate(
            [first_state(life.case, life.members) for life in lives], axis=1, dtype=precision
        )
        self._kinetics = Kinetics.joined([life.members.kinetics for life in lives]).cast(precision)
        self._weather = _side_by_side([life.plot.weather for life in lives]).astype(precision)
        self._kept: list[list[Reals]] = [[] for _ in lives]

    def lived(self) -> Iterator[History]:
        last = 0
        for steps, stops in _agenda(self._lives):
            self._pass(last, steps)
            last = steps
            for place, stop in stops:
                self._stop(place, stop)
        self._pass(last, len(self._weather))
        return map(self._history, range(len(self._lives)))

    def _pass(self, first: int, last: int) -> None:
        for systems, steps in _even(self._lives, first, last):
            width = int(self._edges[systems])
            under_way, kinetics = self._state[:, :width], self._kinetics.of(slice(0, width))
            for number in steps:
                advance(
                    under_way, of=kinetics, at=_over(self._weather[number], self._owner[:width])
                )

    def _stop(self, place: int, stop: Stop) -> None:
        columns = slice(self._edges[place], self._edges[place + 1])
        if stop.is_kept:
            self._kept[place].append(self._state[:, columns].copy())
        for change in stop.changes:
            members = self._lives[place].members
            self._state[:, columns] = changed(self._state[:, columns], change, members=members)

    def _history(self, place: int) -> History:
        now = self._state[:, self._edges[place] : self._edges[place + 1]].astype(np.float64)
        kept = np.array(self._kept[place], dtype=np.float64)
        return History(kept=kept.reshape(-1, *now.shape), now=now)


def _side_by_side(weather: Sequence[Floats]) -> Floats:
    """Return (steps, 5, systems); past its own last step a system has no weather."""
    told = np.zeros((max(map(len, weather)), weather[0].shape[1], len(weather)))
    for place, own in enumerate(weather):
        told[: len(own), :, place] = own
    return told


def _agenda(lives: Sequence[Life]) -> list[tuple[int, list[tuple[int, Stop]]]]:
    """Return what stops after how many steps, in order."""
    agenda: dict[int, list[tuple[int, Stop]]] = {}
    for place, life in enumerate(lives):
        for stop in life.plot.stops:
            agenda.setdefault(stop.after_steps, []).append((place, stop))
    return sorted(agenda.items())


def _even(lives: Sequence[Life], first: int, last: int) -> Iterator[tuple[int, range]]:
    """Split steps where systems come to their end; yield how many are still under way."""
    systems = sum(life.plot.steps > first for life in lives)
    while first < last:
        until = min(last, lives[systems - 1].plot.steps)
        yield systems, range(first, until)
        first, systems = until, sum(life.plot.steps > until for life in lives)


def _over(rows: Reals, owner: Whole) -> Conditions:
    """Give each column the weather of its system; a lone system's weather fits as it is."""
    each = rows if rows.shape[1] == 1 else rows.take(owner, axis=1)
    return Conditions(
        activity=each[:2], ammonium_acidity=each[2], decay=each[3], feed_mg_l_n=each[4]
    )


def first_state(case: Case, members: Members) -> Floats:
    """Return the state at hour 0: what was read before any ammonia source, else none."""
    state = np.zeros((STATE_ROWS, members.count))
    state[TAN] = _read_at_start(case, "tan")
    state[NITRITE] = _read_at_start(case, "nitrite")
    state[NITRATE] = members.nitrate_mg_l_n
    state[ALKALINITY] = members.alkalinity_meq_l
    state[4:] = BACKGROUND_MG_L_D if case.is_seeded else members.seed_mg_l_d
    return state


def _read_at_start(case: Case, parameter: str) -> float:
    first = next(iter(case.of(parameter)), None)
    if first is None or first.t_h > _EARLY_H or not first.span.is_exact:
        return 0.0
    fed = any(
        isinstance(event, AmmoniumDose | Feed) and event.t_h < first.t_h for event in case.events
    )
    return 0.0 if fed else first.span.low
