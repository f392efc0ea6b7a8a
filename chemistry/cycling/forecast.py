"""When a water will pass its challenge, what may hold it back, and what to do next."""

import hashlib
import time
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Any, Final

import numpy as np

from chemistry.cycling.advice import NextStep, next_step
from chemistry.cycling.arrays import Floats
from chemistry.cycling.bands import Bands, bands
from chemistry.cycling.case import Case
from chemistry.cycling.case_text import write_case
from chemistry.cycling.causes import causes
from chemistry.cycling.challenge import ready_at_h
from chemistry.cycling.doubt import doubted
from chemistry.cycling.history import History, live
from chemistry.cycling.inference import Ensemble, infer
from chemistry.cycling.plan import FORECAST_STEP_H, Outlook, conditions_ahead, follow
from chemistry.cycling.standing import standing
from chemistry.cycling.sureness import sureness
from chemistry.cycling.timeline import Timeline, timeline

LEVELS: Final = (5, 10, 25, 50, 75, 90, 95)
MEMBERS: Final = 500
_KEEP_EVERY_H: Final = 6.0
_BAND_DAYS: Final = 14


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
    began_s = time.perf_counter()
    known = case.up_to_now()
    rng = _generator(known)
    ensemble = infer(known, count=members, rng=rng)
    plot = timeline(known, keep_h=_moments(known), longest_step_h=FORECAST_STEP_H)
    lived = live(plot, case=known, members=ensemble.members)
    ensemble, lived = doubted(ensemble, lived, rng=rng)
    ahead = follow(lived.now, case=known, members=ensemble.members, least_days=_BAND_DAYS)
    return _told(known, ensemble, plot, lived, ahead, began_s)


def forecast_cases(cases: Iterable[Case], *, members: int = MEMBERS) -> list[Forecast]:
    """Forecast several cases, in order."""
    return [forecast_case(case, members=members) for case in cases]


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
    began_s: float,
) -> Forecast:
    at = conditions_ahead(case)
    ready = ready_at_h(ahead.daily, first_h=case.now_h, definition=case.ready)
    is_slow = ready > case.now_h
    found = causes(ensemble, lived.now, case=case, at=at, is_slow=is_slow)
    planned = _timing(ready)
    pass_now = float(np.mean(~is_slow))
    now = standing(ensemble, lived.now, case=case, at=at, causes=found, pass_now=pass_now)
    return Forecast(
        planned=planned,
        unbuffered=_timing(_unbuffered(case, ensemble, lived, ahead, ready)),
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
        seconds=time.perf_counter() - began_s,
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


def _unbuffered(
    case: Case, ensemble: Ensemble, lived: History, ahead: Outlook, ready: Floats
) -> Floats:
    """Return ready times if nobody buffers; members that never would are not run again."""
    would = ahead.has_buffered
    if not would.any():
        return ready
    found = ready.copy()
    alone = follow(
        lived.now[:, would], case=case.never_buffered(), members=ensemble.members.of(would)
    )
    found[would] = ready_at_h(alone.daily, first_h=case.now_h, definition=case.ready)
    return found


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
