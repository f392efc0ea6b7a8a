"""Why a start-up may be slow: the share of the ensemble that says so."""

from typing import Final

import numpy as np

from chemistry.cycling.arrays import Floats
from chemistry.cycling.case import Case
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
COLD_ACTIVITY: Final = 0.62


def causes(ensemble: Ensemble, state: Floats, *, case: Case, at: Conditions) -> dict[str, float]:
    """Return the probability of each cause at ``state``, the ensemble now."""
    return {
        "weak_or_dead_seed": ensemble.share("weak_or_dead_seed"),
        "nitrite_oxidisers_missing": ensemble.share("nitrite_oxidisers_missing"),
        "low_alkalinity": _low_alkalinity(ensemble, state),
        "inhibition": _inhibited(ensemble, state, at),
        "cold": _cold(case, at),
    }


def _low_alkalinity(ensemble: Ensemble, state: Floats) -> float:
    left = alkalinity_share(state, kappa=ensemble.members.kinetics.kappa)
    return float(np.mean(left < LOW_ALKALINITY_SHARE))


def _inhibited(ensemble: Ensemble, state: Floats, at: Conditions) -> float:
    kinetics = ensemble.members.kinetics
    acid = hydrogen(state, kappa=kinetics.kappa)
    slowed = inhibition(state, acid=acid, of=kinetics, at=at)
    return float(np.mean(slowed.max(axis=0) > INHIBITED_TIMES))


def _cold(case: Case, at: Conditions) -> float:
    """Return 1 or 0: the thermometer is believed."""
    temperature_c = float(climate(case).temperature_c(np.array([case.now_h]))[0])
    return float(temperature_c < COLD_C and float(at.activity[0, 0]) < COLD_ACTIVITY)
