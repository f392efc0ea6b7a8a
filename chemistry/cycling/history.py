"""Living a case from its start to now with every member at once."""

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from chemistry.cycling.arrays import (
    ALKALINITY,
    NITRATE,
    NITRITE,
    STATE_ROWS,
    TAN,
    Floats,
)
from chemistry.cycling.case import AmmoniumDose, Case, Feed
from chemistry.cycling.changes import changed
from chemistry.cycling.integrator import step
from chemistry.cycling.members import Members
from chemistry.cycling.priors import BACKGROUND_MG_L_D
from chemistry.cycling.timeline import Stop, Timeline

_EARLY_H: Final = 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """``kept`` is (kept times, 6, members); ``now`` the state after the last event."""

    kept: Floats
    now: Floats


def live(plot: Timeline, *, case: Case, members: Members) -> History:
    """Integrate the members along the timeline of their case."""
    state = first_state(case, members)
    kept = []
    for stop in plot.stops:
        if stop.is_kept:
            kept.append(state)
        for change in stop.changes:
            state = changed(state, change, members=members)
        state = _to_next(state, stop, members)
    return History(kept=np.array(kept).reshape(-1, *state.shape), now=state)


def _to_next(state: Floats, stop: Stop, members: Members) -> Floats:
    for start, end in pairwise(stop.conditions):
        state = step(state, hours=stop.step_h, of=members.kinetics, start=start, end=end)
    return state


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
