"""From a record straight to what leaving the plan would cost: fewer members than a forecast."""

import hashlib
from typing import Final

import numpy as np

from chemistry.cycling.case import Case
from chemistry.cycling.case_text import write_case
from chemistry.cycling.deviation import Deviation, deviations
from chemistry.cycling.doubt import doubted
from chemistry.cycling.history import live
from chemistry.cycling.inference import infer
from chemistry.cycling.integrator import FORECAST_STEP_H
from chemistry.cycling.timeline import timeline

MEMBERS: Final = 160


def weigh_departures(case: Case, *, members: int = MEMBERS) -> tuple[Deviation, ...]:
    """Weigh every departure from what was known at the case's now; repeatable."""
    known = case.up_to_now()
    rng = np.random.default_rng(_seed(known))
    ensemble = infer(known, count=members, rng=rng)
    plot = timeline(known, keep_h=(), longest_step_h=FORECAST_STEP_H)
    ensemble, lived = doubted(ensemble, live(plot, case=known, members=ensemble.members), rng=rng)
    return deviations(lived.now, case=known, members=ensemble.members, rng=rng)


def _seed(case: Case) -> int:
    digest = hashlib.sha256(f"departures\n{write_case(case)}".encode()).digest()
    return int.from_bytes(digest[:8], "big")
