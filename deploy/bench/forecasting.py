"""The forecasts a bench scores: every start-up that is not ready yet, at every day that counts."""

import time
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from chemistry.cycling import Case, Forecast, forecast_case, forecast_cases, read_case
from deploy.bench.peers import HORIZON_DAYS
from deploy.bench.startups import StartUp
from deploy.bench.startups.arrays import Floats

SCORED_DAYS: Final = (3, 5, 7, 10, 14, 21, 28, 35)
ALARM_DAYS: Final = (3, 4, 5, 6, 7, 8, 10, 12, 14, 17, 20, 24, 28, 32)
ALL_DAYS: Final = tuple(sorted({*SCORED_DAYS, *ALARM_DAYS}))
_TIMED_ALONE: Final = 24
_LEVEL_NAMES: Final = ("p05", "p10", "p25", "p50", "p75", "p90", "p95")


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One forecast beside its start-up."""

    start_up: StartUp
    day: int
    case: Case
    forecast: Forecast

    @property
    def quantiles_d(self) -> Floats:
        """Quantiles in days, those past the horizon at the horizon."""
        told = self.forecast.planned.ready_at_h
        hours = [told[name] for name in _LEVEL_NAMES]
        days = np.array([HORIZON_DAYS if at_h is None else at_h / 24.0 for at_h in hours])
        return np.asarray(np.minimum(days, HORIZON_DAYS))


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """Seconds a forecast took, alone (median and 95 %) and in a batch."""

    alone_median_s: float
    alone_p95_s: float
    batched_s: float


def told_forecasts(
    start_ups: Sequence[StartUp], *, days: Sequence[int] = ALL_DAYS, members: int, workers: int = 1
) -> tuple[list[Told], Pace]:
    """Forecast each start-up at each of ``days`` that finds it not ready."""
    wanted = [
        (start_up, day) for day in days for start_up in start_ups if not start_up.is_ready_by(day)
    ]
    cases = [read_case(start_up.text_at(day)) for start_up, day in wanted]
    began_s = time.perf_counter()
    made = forecast_cases(cases, members=members, workers=workers)
    batched_s = (time.perf_counter() - began_s) / max(len(cases), 1)
    found = [
        Told(start_up=start_up, day=day, case=case, forecast=forecast)
        for (start_up, day), case, forecast in zip(wanted, cases, made, strict=True)
    ]
    return found, _pace(cases, members=members, batched_s=batched_s)


def _pace(cases: Sequence[Case], *, members: int, batched_s: float) -> Pace:
    every = max(len(cases) // _TIMED_ALONE, 1)
    seconds = [_seconds(case, members=members) for case in cases[::every][:_TIMED_ALONE]]
    return Pace(
        alone_median_s=float(np.median(seconds)),
        alone_p95_s=float(np.quantile(seconds, 0.95)),
        batched_s=batched_s,
    )


def _seconds(case: Case, *, members: int) -> float:
    began_s = time.perf_counter()
    forecast_case(case, members=members)
    return time.perf_counter() - began_s
