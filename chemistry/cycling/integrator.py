"""Modified Patankar Runge-Kutta of order two: never negative, and nothing leaks.

What leaves one row enters the next as the same number, so nitrogen and alkalinity balance to
rounding; dividing by one plus the loss keeps every row from crossing zero at any step.
Burchard, Deleersnijder & Meister 2003, Appl. Numer. Math. 47 (from memory, unverified).
"""

from typing import Final

import numpy as np

from chemistry.cycling.arrays import ALKALINITY, NITRATE, NITRITE, TAN, Floats
from chemistry.cycling.model import Conditions, Kinetics, rates
from chemistry.feed import ALKALINITY_MEQ_PER_MG_N

_TINY_MG_L_N: Final = 1e-30
# No step may spend more than this share of the alkalinity it starts with.
_SPENDABLE_MG_N_PER_MEQ: Final = 0.9 / ALKALINITY_MEQ_PER_MG_N
_STEEPEST: Final = 1.9


def step(
    state: Floats, *, hours: float, of: Kinetics, start: Conditions, end: Conditions
) -> Floats:
    """Return the state ``hours`` later; accurate for steps up to 2 h, positive at any."""
    h_d = hours / 24.0
    supplied = h_d * start.feed_mg_l_d
    uptake, growth = rates(state, of=of, at=start)
    stage = _moved(state, losses=h_d * uptake, growth=h_d * growth, supplied=supplied)
    stage_uptake, stage_growth = rates(stage, of=of, at=end)
    oxidised = uptake * state[:2] + stage_uptake * stage[:2]
    return _moved(
        state,
        losses=0.5 * h_d * oxidised / (stage[:2] + _TINY_MG_L_N),
        growth=0.5 * h_d * (growth + stage_growth),
        supplied=supplied,
    )


def _moved(state: Floats, *, losses: Floats, growth: Floats, supplied: float) -> Floats:
    after = np.empty_like(state)
    share = losses / (1.0 + losses)
    tan = state[TAN] + supplied
    to_nitrite = np.minimum(tan * share[0], state[ALKALINITY] * _SPENDABLE_MG_N_PER_MEQ)
    nitrite = state[NITRITE] + to_nitrite
    to_nitrate = nitrite * share[1]
    after[TAN] = tan - to_nitrite
    after[NITRITE] = nitrite - to_nitrate
    after[NITRATE] = state[NITRATE] + to_nitrate
    after[ALKALINITY] = state[ALKALINITY] - ALKALINITY_MEQ_PER_MG_N * to_nitrite
    half = 0.5 * np.minimum(np.maximum(growth, -_STEEPEST), _STEEPEST)
    after[4:] = state[4:] * (1.0 + half) / (1.0 - half)
    return after
