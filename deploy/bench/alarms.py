"""How soon each cause of a stall was told, how often wrongly, and what naive rules would do.

An alarm sounds when a cause's chance passes its threshold while the start-up is not ready yet. A
false alarm counts once for each healthy start-up (a good seed, ready before day 20) however long
it sounds. The naive rules look at five days of readings and nothing else.

Causes that a start-up is born with are true by its scenario. Running out of alkalinity is not: any
water may, on a day of its own, and a keeper's act ends it. So that alarm is held against the true
water: it must sound where alkalinity truly fell below 0.25 meq/L, and is false only where the
water has kept more than the 0.5 meq/L at which the advice asks for a buffer. A tenth of healthy
start-ups do run low; told by scenario alone they were counted as false.
"""

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final, TypeAlias

import numpy as np

from chemistry.cycling import Case
from deploy.bench.forecasting import ALARM_DAYS, Told
from deploy.bench.startups import StartUp

Row: TypeAlias = dict[str, Any]
_HEALTHY_BEFORE_DAYS: Final = 20.0
_EXHAUSTED_MEQ_L: Final = 0.25
_AMPLE_MEQ_L: Final = 0.5
_EARLY_DAYS: Final = 5.0
_WINDOW_H: Final = 120.0
_FLAT: Final = 0.8
_WORTH_WATCHING_MG_L_N: Final = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Alarm:
    """A cause in the forecast, its threshold, and the start-ups that truly have it.

    ``is_right`` tells of one forecast that the alarm would be right though nothing ails by name.
    """

    name: str
    sounds: Callable[[Told], bool]
    is_true_of: Callable[[StartUp], bool]
    times_running: int = 1
    is_right: Callable[[Told], bool] = lambda _told: False


def _above(cause: str, threshold: float) -> Callable[[Told], bool]:
    return lambda told: told.forecast.causes[cause] > threshold


def _of(scenario: str) -> Callable[[StartUp], bool]:
    return lambda start_up: start_up.scenario == scenario


def _is_exhausted(start_up: StartUp) -> bool:
    """Tell whether the water truly ran out of alkalinity while it was not ready."""
    return _lowest_meq_l(start_up, by_day=np.inf) < _EXHAUSTED_MEQ_L


def _is_exhausted_early(start_up: StartUp) -> bool:
    return _lowest_meq_l(start_up, by_day=_EARLY_DAYS) < _EXHAUSTED_MEQ_L


def _has_run_low(told: Told) -> bool:
    return _lowest_meq_l(told.start_up, by_day=told.day) < _AMPLE_MEQ_L


def _lowest_meq_l(start_up: StartUp, *, by_day: float) -> float:
    until_h = np.inf if start_up.ready_at_h is None else start_up.ready_at_h
    waiting = start_up.true_t_h <= min(until_h, by_day * 24.0)
    return float(start_up.true_alkalinity_meq_l[waiting].min())


def _is_plateau(parameter: str) -> Callable[[Told], bool]:
    return lambda told: is_flat(told.case, parameter=parameter)


_SEED_FAILS: Final = 0.8  # two in ten are expected to: readings sixteen times likelier if so
ALARMS: Final = (
    Alarm(
        name="seed killed",
        sounds=_above("weak_or_dead_seed", _SEED_FAILS),
        is_true_of=_of("dead_seed"),
        times_running=2,
    ),
    Alarm(
        name="seed weak",
        sounds=_above("weak_or_dead_seed", _SEED_FAILS),
        is_true_of=_of("seeded_weak"),
    ),
    Alarm(
        name="nitrite oxidisers missing",
        sounds=_above("nitrite_oxidisers_missing", 0.5),
        is_true_of=_of("no_nob"),
    ),
    Alarm(
        name="alkalinity exhausted",
        sounds=_above("low_alkalinity", 0.5),
        is_true_of=_is_exhausted,
        is_right=_has_run_low,
    ),
    Alarm(
        name="alkalinity exhausted by day 5",
        sounds=_above("low_alkalinity", 0.5),
        is_true_of=_is_exhausted_early,
        is_right=_has_run_low,
    ),
    Alarm(name="overdose", sounds=_above("inhibition", 0.5), is_true_of=_of("overdose")),
    Alarm(name="cold", sounds=_above("cold", 0.5), is_true_of=_of("cold")),
    Alarm(
        name="naive: TAN flat for five days",
        sounds=_is_plateau("tan"),
        is_true_of=_of("dead_seed"),
    ),
    Alarm(
        name="naive: nitrite not falling for five days",
        sounds=_is_plateau("nitrite"),
        is_true_of=_of("no_nob"),
    ),
)


def alarms(told: Sequence[Told]) -> list[Row]:
    """Return, for each alarm, the share told, the day it was told and the false ones."""
    by_start_up: dict[int, list[Told]] = defaultdict(list)
    for one in told:
        if one.day in ALARM_DAYS:
            by_start_up[id(one.start_up)].append(one)
    return [_row(alarm, list(by_start_up.values())) for alarm in ALARMS]


def is_flat(case: Case, *, parameter: str) -> bool:
    """Tell whether the last reading is no lower than four fifths of one five days before it."""
    read = [(reading.t_h, _number(reading.span)) for reading in case.of(parameter)]
    if not read or read[-1][1] < _WORTH_WATCHING_MG_L_N:
        return False
    last_h, last = read[-1]
    before = [value for t_h, value in read if t_h <= last_h - _WINDOW_H]
    return bool(before) and before[-1] >= _WORTH_WATCHING_MG_L_N and last >= _FLAT * before[-1]


def _number(span: Any) -> float:
    low = 0.0 if np.isinf(span.low) else span.low
    return float(low if np.isinf(span.high) else 0.5 * (low + span.high))


def _row(alarm: Alarm, followed: Sequence[Sequence[Told]]) -> Row:
    ailing = [_day_told(alarm, one) for one in followed if alarm.is_true_of(one[0].start_up)]
    healthy = [
        _day_told(alarm, [told for told in one if not alarm.is_right(told)])
        for one in followed
        if _is_healthy(one[0].start_up)
    ]
    days = sorted(day for day in ailing if day is not None)
    return {
        "alarm": alarm.name,
        "n": len(ailing),
        "told": _share(len(days), len(ailing)),
        "median_day": float(np.median(days)) if days else None,
        "q90_day": float(np.quantile(days, 0.9)) if days else None,
        "days": days,
        "n_healthy": len(healthy),
        "false": _share(sum(day is not None for day in healthy), len(healthy)),
    }


def _is_healthy(start_up: StartUp) -> bool:
    return start_up.scenario == "seeded_ok" and start_up.is_ready_by(_HEALTHY_BEFORE_DAYS)


def _day_told(alarm: Alarm, told: Sequence[Told]) -> int | None:
    """Return the first day on which the alarm has sounded as often as it must, in a row."""
    sounding = [(one.day, alarm.sounds(one)) for one in sorted(told, key=lambda one: one.day)]
    if alarm.times_running == 1:
        return next((day for day, sounds in sounding if sounds), None)
    return next((day for (_, before), (day, now) in pairwise(sounding) if before and now), None)


def _share(part: int, whole: int) -> float | None:
    return part / whole if whole else None
