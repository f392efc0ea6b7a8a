"""Where a start-up stands now: what the next step is decided from."""

from dataclasses import dataclass

import numpy as np

from chemistry.cycling.arrays import (
    ALKALINITY,
    AMMONIA_OXIDISERS,
    NITRITE,
    TAN,
    Floats,
)
from chemistry.cycling.case import Case
from chemistry.cycling.inference import Ensemble
from chemistry.cycling.model import Conditions, ph


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Medians over the ensemble; ``*_members`` and ``dose_scale`` keep its spread."""

    tan_mg_l_n: float
    nitrite_mg_l_n: float
    alkalinity_meq_l: float
    ph: float
    removal_mg_l_d: float
    pass_now: float
    causes: dict[str, float]
    unread_h: float
    tan_members: Floats
    nitrite_members: Floats
    dose_scale: Floats

    def exceeds(self, *, cap_mg_l_n: float, dose_mg_l_n: float) -> float:
        """Return the probability that a dose would lift TAN over the cap."""
        after = self.tan_members + dose_mg_l_n * self.dose_scale
        return float(np.mean(after > cap_mg_l_n))


def standing(
    ensemble: Ensemble,
    state: Floats,
    *,
    case: Case,
    at: Conditions,
    causes: dict[str, float],
    pass_now: float,
) -> Standing:
    """Return the standing of the ensemble in ``state``."""
    acidity = ph(state, kappa=ensemble.members.kinetics.kappa)
    return Standing(
        tan_mg_l_n=float(np.median(state[TAN])),
        nitrite_mg_l_n=float(np.median(state[NITRITE])),
        alkalinity_meq_l=float(np.median(state[ALKALINITY])),
        ph=float(np.median(acidity)),
        removal_mg_l_d=float(np.median(state[AMMONIA_OXIDISERS]) * at.activity[0, 0]),
        pass_now=pass_now,
        causes=causes,
        unread_h=_unread_h(case),
        tan_members=state[TAN],
        nitrite_members=state[NITRITE],
        dose_scale=ensemble.members.dose_scale,
    )


def _unread_h(case: Case) -> float:
    """Return the age of the older of the last ammonia and the last nitrite reading."""
    last = [
        max((reading.t_h for reading in case.of(name)), default=0.0) for name in ("tan", "nitrite")
    ]
    return case.now_h - min(last)
