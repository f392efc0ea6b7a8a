"""Ready, defined: topped up to the challenge, both ammonia and nitrite pass within the window.

Nothing else happens during the window. A water that already holds more than the challenge is
not topped up. The score is ln of the worse of the two over its limit: zero or less passes.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from chemistry.cycling.arrays import HOURS_PER_DAY, NITRITE, TAN, Floats, Reals, Truths
from chemistry.cycling.case import ReadyDefinition
from chemistry.cycling.columns import Columns
from chemistry.cycling.integrator import FORECAST_STEP_H, advance
from chemistry.cycling.model import Conditions, Kinetics

_LEAST_MG_L_N: Final = 1e-12


@dataclass(frozen=True, slots=True, kw_only=True)
class Challenge(Columns):
    """What is asked of each column, within one window for all."""

    tan_mg_l_n: Reals
    tan_limit_mg_l_n: Reals
    nitrite_limit_mg_l_n: Reals
    window_h: float


def challenge(definitions: Sequence[ReadyDefinition]) -> Challenge:
    """Return one column per definition; all share the window of the first."""
    return Challenge(
        tan_mg_l_n=np.array([ready.challenge_mg_l_n for ready in definitions]),
        tan_limit_mg_l_n=np.array([ready.tan_limit_mg_l_n for ready in definitions]),
        nitrite_limit_mg_l_n=np.array([ready.nitrite_limit_mg_l_n for ready in definitions]),
        window_h=definitions[0].window_h,
    )


def could_pass(state: Reals, *, kinetics: Kinetics, at: Conditions, asked: Challenge) -> Truths:
    """Return which columns would pass if they grew and fed unhindered all through.

    Where this says no, no challenge need be run: ``unmoved_score`` is the score.
    """
    days = asked.window_h / HOURS_PER_DAY
    grown = np.maximum(kinetics.growth_per_d * at.activity, _LEAST_MG_L_N) * days
    mean_growth = np.expm1(grown) / grown
    removable = state[4:] * at.activity * mean_growth * days
    load = np.maximum(state[TAN], asked.tan_mg_l_n) - asked.tan_limit_mg_l_n
    able: Truths = (removable[0] >= load) & (
        removable[1] >= load + state[NITRITE] - asked.nitrite_limit_mg_l_n
    )
    return able


def unmoved_score(asked: Challenge) -> Floats:
    """Return the score of a challenge of which nothing was removed."""
    strictest = np.minimum(asked.tan_limit_mg_l_n, asked.nitrite_limit_mg_l_n)
    score: Floats = np.log(asked.tan_mg_l_n / strictest).astype(np.float64)
    return score


def scores(state: Reals, *, kinetics: Kinetics, at: Conditions, asked: Challenge) -> Floats:
    """Run the challenge in every column and return the scores; ``at`` is per day."""
    challenged = state.copy()
    challenged[TAN] = np.maximum(state[TAN], asked.tan_mg_l_n)
    count = math.ceil(asked.window_h / FORECAST_STEP_H)
    step = at.over(asked.window_h / count)
    for _ in range(count):
        advance(challenged, of=kinetics, at=step)
    worse = np.maximum(
        challenged[TAN] / asked.tan_limit_mg_l_n, challenged[NITRITE] / asked.nitrite_limit_mg_l_n
    )
    score: Floats = np.log(np.maximum(worse, _LEAST_MG_L_N)).astype(np.float64)
    return score
