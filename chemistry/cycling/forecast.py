"""When a water will pass its challenge, what may hold it back, and what to do next."""

import math
import time
from collections.abc import Callable, Iterable
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
from chemistry.cycling.causes import causes
from chemistry.cycling.climatology import tempered
from chemistry.cycling.course import conditions_ahead
from chemistry.cycling.foretelling import Foretold, foretell
from chemistry.cycling.narrowing import narrowed
from chemistry.cycling.standing import standing
from chemistry.cycling.sureness import sureness

LEVELS: Final = (5, 10, 25, 50, 75, 90, 95)
MEMBERS: Final = 500
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
    longest_first = sorted(range(len(told)), key=lambda place: -told[place].now_h)
    at_once = min(_CASES_AT_ONCE, max(math.ceil(len(told) / workers), 1))
    batched = [
        [told[place] for place in longest_first[first : first + at_once]]
        for first in range(0, len(told), at_once)
    ]
    found = chain.from_iterable(_shared_out(partial(_forecast, members=members), batched, workers))
    placed = dict(zip(longest_first, found, strict=True))
    return [placed[place] for place in range(len(told))]


def _shared_out(
    run: Callable[[list[Case]], list[Forecast]], batched: list[list[Case]], workers: int
) -> Iterable[list[Forecast]]:
    if min(workers, len(batched)) <= 1:
        return map(run, batched)
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        return list(pool.map(run, batched))


def _forecast(cases: list[Case], *, members: int) -> list[Forecast]:
    return [_told(foretold) for foretold in foretell(cases, members=members)]


def _told(foretold: Foretold) -> Forecast:
    began_s = time.perf_counter()
    case, ensemble, state = foretold.case, foretold.ensemble, foretold.lived.now
    ahead, at = foretold.ahead, conditions_ahead(case)
    is_slow = ahead.ready_at_h > case.now_h
    found = causes(ensemble, state, case=case, at=at, is_slow=is_slow)
    planned = _timing(_dates(ahead.ready_at_h, foretold))
    pass_now = float(np.mean(~is_slow))
    now = standing(ensemble, state, case=case, at=at, causes=found, pass_now=pass_now)
    return Forecast(
        planned=planned,
        unbuffered=_timing(_dates(ahead.unbuffered_at_h, foretold)),
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
        bands=_bands(foretold),
        members=ensemble.members.count,
        seconds=foretold.seconds + time.perf_counter() - began_s,
    )


def _dates(ready_at_h: Floats, foretold: Foretold) -> Floats:
    """Return the members' dates as they are told: tempered by what is usual, and narrowed."""
    case = foretold.case
    mixed = tempered(ready_at_h, by=foretold.ensemble.tells(""), case=case)
    return narrowed(mixed, now_h=case.now_h)


def _timing(ready: Floats) -> Timing:
    quantiles = np.quantile(ready, [level / 100 for level in LEVELS], method="inverted_cdf")
    return Timing(
        ready_at_h={
            f"p{level:02d}": float(at_h) if np.isfinite(at_h) else None
            for level, at_h in zip(LEVELS, quantiles, strict=True)
        },
        never_by_horizon=float(np.mean(np.isinf(ready))),
    )


def _bands(foretold: Foretold) -> Bands:
    return bands(
        np.concatenate([foretold.lived.kept, foretold.ahead.kept]),
        t_h=foretold.plot.kept_h + foretold.ahead.kept_h,
        members=foretold.ensemble.members,
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
