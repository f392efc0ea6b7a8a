"""Ready, defined: topped up to the challenge, both ammonia and nitrite pass within the window.

Nothing else happens during the window. A water that already holds more than the challenge is
not topped up. The score is ln of the worse of the two over its limit: zero or less passes.
"""

import math
from typing import Final

import numpy as np

from chemistry.cycling.arrays import HOURS_PER_DAY, NITRITE, TAN, Floats, Truths
from chemistry.cycling.case import ReadyDefinition
from chemistry.cycling.integrator import step
from chemistry.cycling.model import Conditions, Kinetics

_STEP_H: Final = 1.0
_LEAST_MG_L_N: Final = 1e-12


def scores(
    state: Floats,
    *,
    asked: Truths,
    kinetics: Kinetics,
    at: Conditions,
    definition: ReadyDefinition,
) -> Floats:
    """Return (members,) scores of a challenge begun in ``state`` by the members ``asked``.

    A member that could not pass even growing unhindered all through is not integrated; it
    scores as if it had removed nothing.
    """
    able = asked & _could_pass(state, kinetics=kinetics, at=at, definition=definition)
    found = np.full(state.shape[1], math.log(definition.challenge_mg_l_n) + _strictness(definition))
    if able.any():
        ended = _run(state[:, able], kinetics=kinetics.of(able), at=at, definition=definition)
        found[able] = _scored(ended, definition)
    return found


def _strictness(definition: ReadyDefinition) -> float:
    return -math.log(min(definition.tan_limit_mg_l_n, definition.nitrite_limit_mg_l_n))


def _could_pass(
    state: Floats, *, kinetics: Kinetics, at: Conditions, definition: ReadyDefinition
) -> Truths:
    days = definition.window_h / HOURS_PER_DAY
    fastest = np.exp(np.maximum(kinetics.growth_per_d * at.activity, 0.0) * days)
    removable = state[4:] * at.activity * fastest * days
    load = np.maximum(state[TAN], definition.challenge_mg_l_n)
    able: Truths = (removable[0] >= load - definition.tan_limit_mg_l_n) & (
        removable[1]
        >= load + state[NITRITE] - definition.tan_limit_mg_l_n - definition.nitrite_limit_mg_l_n
    )
    return able


def _run(
    state: Floats, *, kinetics: Kinetics, at: Conditions, definition: ReadyDefinition
) -> Floats:
    challenged = state.copy()
    challenged[TAN] = np.maximum(state[TAN], definition.challenge_mg_l_n)
    count = math.ceil(definition.window_h / _STEP_H)
    for _ in range(count):
        challenged = step(
            challenged, hours=definition.window_h / count, of=kinetics, start=at, end=at
        )
    return challenged


def _scored(ended: Floats, definition: ReadyDefinition) -> Floats:
    worse = np.maximum(
        ended[TAN] / definition.tan_limit_mg_l_n, ended[NITRITE] / definition.nitrite_limit_mg_l_n
    )
    score: Floats = np.log(np.maximum(worse, _LEAST_MG_L_N))
    return score


def ready_at_h(daily: Floats, *, first_h: float, definition: ReadyDefinition) -> Floats:
    """Return when each member becomes ready from its daily scores, (days, members).

    The first pass that the following days of ``sustained_h`` repeat; between two days the
    score is taken as straight. Infinite past the horizon or never.
    """
    passed = _sustained(daily <= 0.0, days_sustained(definition))
    first = passed.argmax(axis=0)
    members = np.arange(daily.shape[1])
    fraction = _crossing(daily[np.maximum(first - 1, 0), members], daily[first, members])
    days = np.where(first == 0, 0.0, first - 1.0 + fraction)
    at_h = first_h + HOURS_PER_DAY * days
    ready: Floats = np.where(passed.any(axis=0) & (at_h <= definition.horizon_h), at_h, np.inf)
    return ready


def days_sustained(definition: ReadyDefinition) -> int:
    """Return how many daily challenges after the first must pass too."""
    return math.ceil(definition.sustained_h / HOURS_PER_DAY)


def _sustained(passed: Truths, more_days: int) -> Truths:
    held = passed.copy()
    for later in range(1, more_days + 1):
        held[: len(held) - later] &= passed[later:]
    return held[: max(len(held) - more_days, 1)]


def _crossing(before: Floats, after: Floats) -> Floats:
    """Return where between two days the score crosses zero; at once if it was below already."""
    fall = np.maximum(before - after, _LEAST_MG_L_N)
    crossing: Floats = np.clip(before / fall, 0.0, 1.0)
    return crossing
