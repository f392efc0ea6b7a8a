"""Why a start-up may be slow: the share of the ensemble that is slow and says so.

A member that would pass now has no cause. A story of the seed stands only while the oxidisers
it speaks of could not clear the challenge in its window even unhindered: what has grown enough
since is not weak, dead or missing. A cause only advises; none changes what is planned.
"""

from typing import Final

import numpy as np

from chemistry.cycling.arrays import AMMONIA_OXIDISERS, HOURS_PER_DAY, Floats, Truths
from chemistry.cycling.case import Case, Inoculation
from chemistry.cycling.inference import Ensemble
from chemistry.cycling.model import (
    Conditions,
    alkalinity_share,
    hydrogen,
    inhibition,
)
from chemistry.cycling.timeline import climate

LOW_ALKALINITY_SHARE: Final = 0.55
INHIBITED_TIMES: Final = 2.2
COLD_C: Final = 22.0
COLD_ACTIVITY: Final = 0.75  # a third longer; fresh water below 21 °C
# A seed with less than this share of nitrite to ammonia oxidisers came without: a live one is
# believed to bring eight in ten, and only one in a hundred of those falls below.
ONE_SIDED_SHARE: Final = 0.1
_GROWN_SHARE: Final = 0.5  # of what the challenge takes: then nitrite should be going too
_VISITS_TO_CLAIM: Final = 2
_SAME_VISIT_H: Final = 6.0  # a reading sooner belongs to the seeding
_UPTAKE_SHOWS_H: Final = 30.0  # a live seed takes nearly 1 mg/L-N by then
# Nitrite oxidisers grow only once there is nitrite, and stay unseen for some days even if alive.
_NITRITE_SHOWS_MG_L_N: Final = 0.4
_NITRITE_STOOD_H: Final = 120.0
UNSEEN_AT_MOST: Final = 0.5


def causes(
    ensemble: Ensemble, state: Floats, *, case: Case, at: Conditions, is_slow: Truths
) -> dict[str, float]:
    """Return the probability of each cause at ``state``, the ensemble now."""
    needed_mg_l_d = case.ready.challenge_mg_l_n * HOURS_PER_DAY / case.ready.window_h
    lacking = state[AMMONIA_OXIDISERS:] < needed_mg_l_d
    grown = state[AMMONIA_OXIDISERS] >= _GROWN_SHARE * needed_mg_l_d
    found = {
        "weak_or_dead_seed": ensemble.tells("weak_or_dead_seed") & lacking[0],
        "nitrite_oxidisers_missing": _one_sided(ensemble, grown) & lacking[1],
        "low_alkalinity": _low_alkalinity(ensemble, state),
        "inhibition": _inhibited(ensemble, state, at),
        "cold": _cold(case, at),
    }
    shares = {cause: float(np.mean(told & is_slow)) for cause, told in found.items()}
    if not _uptake_would_show(case):
        shares["weak_or_dead_seed"] = min(shares["weak_or_dead_seed"], UNSEEN_AT_MOST)
    if not _nitrite_stood(case):
        shares["nitrite_oxidisers_missing"] = min(
            shares["nitrite_oxidisers_missing"], UNSEEN_AT_MOST
        )
    return shares


def _one_sided(ensemble: Ensemble, grown: Truths) -> Truths:
    """Return who tells of a seed without nitrite oxidisers.

    A weak seed with hardly any of them counts too once its ammonia oxidisers have ``grown``.
    """
    ammonia, nitrite = ensemble.members.seed_mg_l_d
    lopsided = ensemble.tells("weak_or_dead_seed") & (nitrite < ONE_SIDED_SHARE * ammonia)
    told: Truths = ensemble.tells("nitrite_oxidisers_missing") | (lopsided & grown)
    return told


def _uptake_would_show(case: Case) -> bool:
    """Return whether ammonia was read on two visits, the last when a seed had had time to act."""
    seeded_h = max((e.t_h for e in case.events if isinstance(e, Inoculation)), default=0.0)
    since_h = [reading.t_h - seeded_h for reading in case.of("tan")]
    visits = sum(hours >= _SAME_VISIT_H for hours in since_h)
    return visits >= _VISITS_TO_CLAIM and max(since_h) >= _UPTAKE_SHOWS_H


def _nitrite_stood(case: Case) -> bool:
    """Return whether nitrite was first read long enough ago to have been taken up."""
    seen_h = (r.t_h for r in case.of("nitrite") if r.span.low >= _NITRITE_SHOWS_MG_L_N)
    return case.now_h - min(seen_h, default=case.now_h) >= _NITRITE_STOOD_H


def _low_alkalinity(ensemble: Ensemble, state: Floats) -> Truths:
    left = alkalinity_share(state, kappa=ensemble.members.kinetics.kappa)
    low: Truths = left < LOW_ALKALINITY_SHARE
    return low


def _inhibited(ensemble: Ensemble, state: Floats, at: Conditions) -> Truths:
    kinetics = ensemble.members.kinetics
    acid = hydrogen(state, kappa=kinetics.kappa)
    slowed = inhibition(state, acid=acid, of=kinetics, at=at)
    inhibited: Truths = slowed.max(axis=0) > INHIBITED_TIMES
    return inhibited


def _cold(case: Case, at: Conditions) -> bool:
    """The thermometer is believed."""
    temperature_c = float(climate(case).temperature_c(np.array([case.now_h]))[0])
    return temperature_c < COLD_C and float(at.activity[0, 0]) < COLD_ACTIVITY
