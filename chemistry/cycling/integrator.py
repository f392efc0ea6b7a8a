"""Modified Patankar Runge-Kutta of order two: never negative, and nothing leaks.

What leaves one row enters the next as the same number, so nitrogen and alkalinity balance to
rounding; dividing by one plus the loss keeps every row from crossing zero at any step.
Burchard, Deleersnijder & Meister 2003, Appl. Numer. Math. 47 (from memory, unverified).
"""

from typing import Final

import numpy as np

from chemistry.cycling.arrays import ALKALINITY, NITRATE, NITRITE, TAN, Floats, Reals
from chemistry.cycling.model import Conditions, Kinetics, rates
from chemistry.feed import ALKALINITY_MEQ_PER_MG_N

FORECAST_STEP_H: Final = 0.75  # of what is published: within 0.05 mg/L of the exact solution
_TINY_MG_L_N: Final = 1e-30
# No step may spend more than this share of the alkalinity it starts with.
_SPENDABLE_MG_N_PER_MEQ: Final = 0.9 / ALKALINITY_MEQ_PER_MG_N
_STEEPEST: Final = 0.95


def step(state: Floats, *, of: Kinetics, at: Conditions) -> Floats:
    """Return the state one step later; ``at`` is taken ``over`` the hours of the step.

    Accurate for steps up to 2 h, positive at any.
    """
    later = state.copy()
    advance(later, of=of, at=at)
    return later


def advance(state: Reals, *, of: Kinetics, at: Conditions) -> None:
    """Carry the state one step on, in place."""
    uptake, growth = rates(state, of=of, at=at)
    stage = np.empty_like(state)
    _move(state, losses=uptake, growth=growth, supplied=at.feed_mg_l_n, into=stage)
    stage_uptake, stage_growth = rates(stage, of=of, at=at)
    growth += stage_growth
    growth *= 0.5
    losses = _mean_losses(state[:2], uptake, stage[:2], stage_uptake)
    _move(state, losses=losses, growth=growth, supplied=at.feed_mg_l_n, into=state)


def _mean_losses(nitrogen: Reals, uptake: Reals, stage: Reals, stage_uptake: Reals) -> Reals:
    """Return the mean oxidation of both ends as a loss of the stage; uses up its arguments."""
    uptake *= nitrogen
    stage_uptake *= stage
    uptake += stage_uptake
    uptake *= 0.5
    stage += _TINY_MG_L_N
    uptake /= stage
    return uptake


def _move(state: Reals, *, losses: Reals, growth: Reals, supplied: Reals, into: Reals) -> None:
    """Write the moved ``state``; ``into`` may be the state itself."""
    share = losses + 1.0
    np.divide(losses, share, out=share)
    tan = state[TAN] + supplied
    spendable = state[ALKALINITY] * _SPENDABLE_MG_N_PER_MEQ
    to_nitrite = np.minimum(np.multiply(tan, share[0], out=share[0]), spendable, out=share[0])
    nitrite = np.add(state[NITRITE], to_nitrite, out=spendable)
    to_nitrate = np.multiply(nitrite, share[1], out=share[1])
    np.subtract(tan, to_nitrite, out=into[TAN])
    np.subtract(nitrite, to_nitrate, out=into[NITRITE])
    np.add(state[NITRATE], to_nitrate, out=into[NITRATE])
    to_nitrite *= ALKALINITY_MEQ_PER_MG_N
    np.subtract(state[ALKALINITY], to_nitrite, out=into[ALKALINITY])
    np.multiply(state[4:], _growth_factor(growth), out=into[4:])


def _growth_factor(growth: Reals) -> Reals:
    half = growth * 0.5
    np.maximum(half, -_STEEPEST, out=half)
    np.minimum(half, _STEEPEST, out=half)
    factor = half + 1.0
    np.subtract(1.0, half, out=half)
    factor /= half
    return factor
