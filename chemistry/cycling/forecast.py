"""When a water will pass its challenge, what may hold it back, and what to do next."""

import hashlib
import time
from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass
from functools import partial
from itertools import chain
from multiprocessing import get_context
from typing import Any, Final

import numpy as np

from chemistry.cycling.advice import NextStep, next_step
from chemistry.cycling.arrays import Floats
from chemistry.cycling.bands import Bands, bands
from chemistry.cycling.case import Case
from chemistry.cycling.case_text import write_case
from chemistry.cycling.causes import causes
from chemistry.cycling.course import Course, conditions_ahead
from chemistry.cycling.doubt import doubted
from chemistry.cycling.history import History, Life, live_each
from chemistry.cycling.inference import Ensemble, infer_each
from chemistry.cycling.integrator import FORECAST_STEP_H
from chemistry.cycling.plan import Outlook, follow_each
from chemistry.cycling.standing import standing
from chemistry.cycling.sureness import sureness
from chemistry.cycling.timeline import Timeline, timeline

LEVELS: Final = (5, 10, 25, 50, 75, 90, 95)
MEMBERS: Final = 500
_KEEP_EVERY_H: Final = 6.0
_BAND_DAYS: Final = 14
_CASES_AT_ONCE: Final = 32


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """Quantiles of the first pass, None past the horizon, and the chance of no pass by then."""

    ready_at_h: dict[str, float | None]
    never_by_horizon: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """``planned`` follows the keeper's plan; in ``unbuffered`` nobody adds alkalinity."""

    planned: Timing
    unbuffered: Timing
    causes: dict[str, float]
    next_step: NextStep
    pass_now: float
    sureness: str
    bands: Bands
    members: int
    seconds: float


def forecast_case(case: Case, *, members: int = MEMBERS) -> Forecast:
    """Forecast a case from what was known at its now; the same case gives the same forecast."""
    return _forecast([case], members=members)[0]


def forecast_cases(
    cases: Iterable[Case], *, members: int = MEMBERS, workers: int = 1
) -> list[Forecast]:
    """Forecast several cases, each as it would be alone, in order; ``workers`` are processes."""
    told = list(cases)
    order = sorted(range(len(told)), key=lambda place: told[place].now_h)
    batches = [
        order[first : first + _CASES_AT_ONCE] for first in range(0, len(order), _CASES_AT_ONCE)
    ]
    run = partial(_forecast, members=members)
    batched = [[told[place] for place in batch] for batch in batches]
    if workers == 1:
        found = list(map(run, batched))
    else:
        with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
            found = list(pool.map(run, batched))
    placed = dict(zip(chain.from_iterable(batches), chain.from_iterable(found), strict=True))
    return [placed[place] for place in range(len(told))]


def _forecast(cases: Sequence[Case], *, members: int) -> list[Forecast]:
    began_s = time.perf_counter()
    known = [case.up_to_now() for case in cases]
    rngs = [_generator(case) for case in known]
    ensembles = infer_each(known, count=members, rngs=rngs)
    plots = [
        timeline(case, keep_h=_moments(case), longest_step_h=FORECAST_STEP_H) for case in known
    ]
    lives = [
        Life(case=case, plot=plot, members=ensemble.members)
        for case, plot, ensemble in zip(known, plots, ensembles, strict=True)
    ]
    believed = [
        doubted(ensemble, lived, rng=rng)
        for ensemble, lived, rng in zip(
            ensembles, live_each(lives, precision=np.float32), rngs, strict=True
        )
    ]
    courses = [
        Course(case=case, state=lived.now, members=ensemble.members)
        for case, (ensemble, lived) in zip(known, believed, strict=True)
    ]
    ahead = follow_each(courses, kept_days=_BAND_DAYS)
    seconds = (time.perf_counter() - began_s) / max(len(known), 1)
    return [
        _told(case, ensemble, plot, lived, outlook, seconds)
        for case, plot, (ensemble, lived), outlook in zip(
            known, plots, believed, ahead, strict=True
        )
    ]


def _generator(case: Case) -> np.random.Generator:
    digest = hashlib.sha256(write_case(case).encode()).digest()
    return np.random.default_rng(int.from_bytes(digest[:8], "big"))


def _moments(case: Case) -> list[float]:
    return [*np.arange(0.0, case.now_h, _KEEP_EVERY_H).tolist(), case.now_h]


def _told(
    case: Case,
    ensemble: Ensemble,
    plot: Timeline,
    lived: History,
    ahead: Outlook,
    seconds: float,
) -> Forecast:
    began_s = time.perf_counter()
    at = conditions_ahead(case)
    is_slow = ahead.ready_at_h > case.now_h
    found = causes(ensemble, lived.now, case=case, at=at, is_slow=is_slow)
    planned = _timing(ahead.ready_at_h)
    pass_now = float(np.mean(~is_slow))
    now = standing(ensemble, lived.now, case=case, at=at, causes=found, pass_now=pass_now)
    return Forecast(
        planned=planned,
        unbuffered=_timing(ahead.unbuffered_at_h),
        causes=found,
        next_step=next_step(now, case=case),
        pass_now=pass_now,
        sureness=sureness(
            planned.ready_at_h,
            now_h=case.now_h,
            horizon_h=case.ready.horizon_h,
            never_by_horizon=planned.never_by_horizon,
            pass_now=pass_now,
        ),
        bands=_bands(ensemble, plot, lived, ahead),
        members=ensemble.members.count,
        seconds=seconds + time.perf_counter() - began_s,
    )


def _timing(ready: Floats) -> Timing:
    quantiles = np.quantile(ready, [level / 100 for level in LEVELS], method="inverted_cdf")
    return Timing(
        ready_at_h={
            f"p{level:02d}": float(at_h) if np.isfinite(at_h) else None
            for level, at_h in zip(LEVELS, quantiles, strict=True)
        },
        never_by_horizon=float(np.mean(np.isinf(ready))),
    )


def _bands(ensemble: Ensemble, plot: Timeline, lived: History, ahead: Outlook) -> Bands:
    return bands(
        np.concatenate([lived.kept, ahead.kept]),
        t_h=plot.kept_h + ahead.kept_h,
        members=ensemble.members,
    )


def answer(forecast: Forecast) -> dict[str, Any]:
    """Return the forecast in the shape of the answer to cycle-case/1."""
    step = asdict(forecast.next_step)
    return {
        "ready_at_h": forecast.planned.ready_at_h,
        "never_by_horizon": forecast.planned.never_by_horizon,
        "causes": forecast.causes,
        "next_step": {key: step[key] for key in ("kind", "amount", "unit", "why")},
        "members": forecast.members,
        "seconds": round(forecast.seconds, 3),
    }
