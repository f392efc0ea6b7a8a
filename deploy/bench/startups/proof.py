"""When a water was truly ready: the 24-hour pass, and that it stays so for 24 hours."""

from typing import Final

import numpy as np

from deploy.bench.startups.arrays import Floats
from deploy.bench.startups.kinetics import STEP_H, conditions, step
from deploy.bench.startups.scenarios import HORIZON_H
from deploy.bench.startups.states import State, Traits

KEPT_EVERY_H: Final = 12.0
CHALLENGE_MG_L_N: Final = 2.0
LIMIT_MG_L_N: Final = 0.25
_WINDOW_H: Final = 24
_STAYS: Final = 3  # passes in a row, half a day apart


def ready_at_h(kept: Floats, *, temperature_c: Floats, traits: Traits) -> list[float | None]:
    """Return the first lasting pass of each start-up.

    Args:
        kept: states half a day apart, shape (moments, rows of a state, start-ups).
        temperature_c: by hour, shape (start-ups, hours).
        traits: of the start-ups.
    """
    return [_first(column) for column in _margins(kept, temperature_c, traits).T]


def _margins(kept: Floats, temperature_c: Floats, traits: Traits) -> Floats:
    """Return ln(worst / limit) after a challenge begun at each moment: below zero is a pass."""
    moments, rows, count = kept.shape
    state = State(*kept.transpose(1, 0, 2).reshape(rows, moments * count))
    state = state._replace(tan=np.maximum(state.tan, CHALLENGE_MG_L_N))
    column = np.tile(np.arange(count), moments)
    begins = np.repeat(np.arange(moments) * int(KEPT_EVERY_H), count)
    own = traits.of(column)
    for hour in range(_WINDOW_H):
        at = conditions(
            temperature_c=temperature_c[column, begins + hour], salinity=state.salinity, traits=own
        )
        for _ in range(round(1.0 / STEP_H)):
            state = step(state, traits=own, at=at)
    worst = np.maximum(state.tan, state.nitrite)
    return np.log(worst / LIMIT_MG_L_N).reshape(moments, count)


def _first(margins: Floats) -> float | None:
    """Return the first moment of a lasting pass, between the last failure and the first pass."""
    passes = margins <= 0.0
    lasting = passes[:-2] & passes[1:-1] & passes[2:]
    if not lasting.any():
        return None
    found = int(np.argmax(lasting))
    if found == 0:
        return 0.0
    before, after = margins[found - 1], margins[found]
    back = 0.0 if before <= 0.0 else float(after / (after - before))
    at_h = KEPT_EVERY_H * (found - back)
    return at_h if at_h <= HORIZON_H else None
