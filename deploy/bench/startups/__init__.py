"""Simulated biofilter start-ups with a known truth, to score forecasts against.

``simulate`` gives finished start-ups; each has ``case_at(day)`` (cycle-case/1), ``ready_at_h`` and
what is true of it. With a ``policy`` the same waters live under somebody's advice: it is asked at
each visit, and answers with acts in the form of cycle-case/1 events::

    def policy(visits): return [dosing(visit.record, t_h=visit.t_h) for visit in visits]
    simulate(CALIBRATION_SEED, 20, policy=policy)

Start-up ``n`` of a seed is the same whatever the count. Priors and the strong peer may know
``CALIBRATION_SEED`` only; ``REHEARSAL_SEED`` is for trying a bench out as often as one likes; each
of ``REPORTING_SEEDS`` is for one report.
"""

from typing import Final

from deploy.bench.startups.keepers import Policy, dosing
from deploy.bench.startups.records import StartUp, Visit
from deploy.bench.startups.tanks import run

CALIBRATION_SEED: Final = 7100
REHEARSAL_SEED: Final = 7200
REPORTING_SEEDS: Final = (8201, 8202, 8203, 8204)
_AT_ONCE: Final = 400

__all__ = [
    "CALIBRATION_SEED",
    "REHEARSAL_SEED",
    "REPORTING_SEEDS",
    "Policy",
    "StartUp",
    "Visit",
    "dosing",
    "set_of",
    "simulate",
]


def simulate(seed: int, count: int, *, policy: Policy | None = None) -> list[StartUp]:
    """Return the first ``count`` start-ups of ``seed``."""
    found: list[StartUp] = []
    for first in range(0, count, _AT_ONCE):
        numbers = range(first, min(first + _AT_ONCE, count))
        found += run(seed=seed, numbers=numbers, policy=policy)
    return found


def set_of(seed: int) -> str:
    """Return what a seed is for."""
    if seed in REPORTING_SEEDS:
        return "reporting"
    return {CALIBRATION_SEED: "calibration", REHEARSAL_SEED: "rehearsal"}.get(seed, "free")
