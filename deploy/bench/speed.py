"""``bench speed``: how long the heavy parts take, as ratios and seconds within one run."""

import statistics
import time
from collections.abc import Callable, Sequence
from functools import partial
from importlib.util import find_spec
from itertools import product
from typing import Any, Final, TypeAlias

import numpy as np

from chemistry.ammonium import emerson_fraction
from chemistry.cycling import Case, forecast_case, forecast_cases, read_case
from chemistry.cycling.arrays import Floats
from chemistry.cycling.integrator import FORECAST_STEP_H, step
from chemistry.cycling.members import Members, members_from
from chemistry.cycling.model import Conditions, Kinetics, conditions
from chemistry.cycling.priors import hypotheses
from deploy.bench.exact import constants_of, slope_of, solved
from deploy.bench.options import Options
from deploy.bench.startups import simulate

Row: TypeAlias = dict[str, Any]

FRACTIONS: Final = 1_000_000
SYSTEMS: Final = 1000
_DAYS: Final = (3, 7, 10, 14, 21, 28)
_ALONE: Final = 24
_ALONE_MEMBERS: Final = 1000
_TURNS: Final = 7
_CHAINS: Final = 1000
_CHAINS_COMPARED: Final = 20
_LEGS: Final = 10
_LEG_DAYS: Final = 3
_DOSE_MG_L_N: Final = 2.0
_WARM_FRESH: Final = (27.0, 0.3)
_STEPS_H: Final = (2.0, 1.0, FORECAST_STEP_H, 0.5)
_TOLERANCES: Final = (1e-3, 1e-4, 1e-6)
_TIGHT: Final = 1e-10


def speed_bench(options: Options) -> Row:
    """Return the times; ``cycles`` is not used: the numbers of systems are what is promised."""
    cases = _cases(options.seed)
    return {
        "seed": options.seed,
        "workers": options.workers,
        "unionised": unionised(),
        "one_forecast": one_forecast(cases[:: max(len(cases) // _ALONE, 1)]),
        "many_forecasts": many_forecasts(cases, options),
        "integrator": integrator(cases[0]) if find_spec("scipy") else None,
    }


def unionised(count: int = FRACTIONS) -> Row:
    """Time so many un-ionised fractions, checks included, beside the bare expression."""
    rng = np.random.default_rng(1)
    ph, temperature_c = rng.uniform(6.0, 9.0, count), rng.uniform(5.0, 35.0, count)
    ours = _fastest(lambda: emerson_fraction(ph=ph, temperature_c=temperature_c))
    bare = _fastest(
        lambda: 1.0 / (1.0 + 10.0 ** (0.09018 + 2729.92 / (temperature_c + 273.15) - ph))
    )
    return {"count": count, "seconds": ours, "bare_s": bare, "speed_of_bare": bare / ours}


def one_forecast(cases: Sequence[Case], members: int = _ALONE_MEMBERS) -> Row:
    """Time forecasts one at a time, in one process."""
    spent = [_timed(partial(forecast_case, case, members=members)) for case in cases]
    return {
        "forecasts": len(cases),
        "members": members,
        "median_s": statistics.median(spent),
        "p95_s": float(np.quantile(spent, 0.95)),
    }


def many_forecasts(cases: Sequence[Case], options: Options) -> Row:
    """Time many systems, inference included, over ``workers`` processes."""
    spent = _timed(lambda: forecast_cases(cases, members=options.members, workers=options.workers))
    return {
        "systems": len(cases),
        "members": options.members,
        "seconds": spent,
        "mean_day": statistics.mean(case.now_h for case in cases) / 24.0,
    }


def integrator(case: Case) -> Row:
    """Time the scheme per member beside LSODA per member, and both errors in mg/L as N.

    Compared at the end of each of 30 days, dosed every third.
    """
    members = _members(case)
    truth = _by_lsoda(members.kinetics, rtol=_TIGHT)
    return {
        "days": _LEGS * _LEG_DAYS,
        "schemes": [_scheme(members.kinetics, truth, hours) for hours in _STEPS_H],
        "lsoda": [_lsoda(members.kinetics, truth, rtol) for rtol in _TOLERANCES],
    }


def _cases(seed: int) -> list[Case]:
    """Return as many cases as systems are promised, of start-ups not ready on their day."""
    found: list[Case] = []
    first = 0
    while len(found) < SYSTEMS:
        start_ups = simulate(seed + first, SYSTEMS // len(_DAYS) + 50)
        waiting = [(day, one) for day, one in product(_DAYS, start_ups) if not one.is_ready_by(day)]
        found += [read_case(one.text_at(day)) for day, one in waiting]
        first += 1
    return found[:SYSTEMS]


def _members(case: Case) -> Members:
    story = hypotheses(case)[0]
    noise = np.random.default_rng(2).standard_normal((len(story.median), _CHAINS))
    logarithms = story.median[:, None] + story.sd[:, None] * np.clip(noise, -2.0, 2.0)
    return members_from(logarithms, inoculation=np.zeros(_CHAINS, dtype=np.int64))


def _first(kinetics: Kinetics) -> Floats:
    """A hard water just dosed and seeded, the same for all members."""
    start = np.array([[2.0], [0.0], [0.5], [6.0], [0.3], [0.2]])
    return np.repeat(start, kinetics.kappa.size, axis=1)


def _scheme(kinetics: Kinetics, truth: Floats, hours: float) -> Row:
    began_s = time.perf_counter()
    found = _by_scheme(kinetics, hours=hours)
    spent = time.perf_counter() - began_s
    return {
        "step_h": hours,
        "ms_per_member": 1e3 * spent / _CHAINS,
        "largest_error_mg_l_n": _error(found[:, :, :_CHAINS_COMPARED], truth),
    }


def _by_scheme(kinetics: Kinetics, *, hours: float) -> Floats:
    """Return the states at the days' ends, (days, 6, members)."""
    steady, state, kept = _steady().over(hours), _first(kinetics), []
    for day in range(_LEGS * _LEG_DAYS):
        if day and day % _LEG_DAYS == 0:
            state[0] += _DOSE_MG_L_N
        for _ in range(round(24.0 / hours)):
            state = step(state, of=kinetics, at=steady)
        kept.append(state.copy())
    return np.stack(kept)


def _lsoda(kinetics: Kinetics, truth: Floats, rtol: float) -> Row:
    began_s = time.perf_counter()
    found = _by_lsoda(kinetics, rtol=rtol)
    spent = time.perf_counter() - began_s
    return {
        "rtol": rtol,
        "ms_per_member": 1e3 * spent / _CHAINS_COMPARED,
        "largest_error_mg_l_n": _error(found, truth),
    }


def _by_lsoda(kinetics: Kinetics, *, rtol: float) -> Floats:
    """Return the states at the days' ends, (days, 6, members), of the members compared."""
    chains = [_chain(kinetics, member, rtol) for member in range(_CHAINS_COMPARED)]
    return np.stack(chains, axis=2)


def _chain(kinetics: Kinetics, member: int, rtol: float) -> Floats:
    temperature_c, salinity_g_kg = _WARM_FRESH
    constants = constants_of(kinetics, member)
    slope = slope_of(constants, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    state, kept = _first(kinetics)[:, member], []
    for _ in range(_LEGS):
        leg = solved(slope, state, days=range(1, _LEG_DAYS + 1), rtol=rtol)
        kept.append(leg)
        state = leg[-1].copy()
        state[0] += _DOSE_MG_L_N
    return np.concatenate(kept)


def _steady() -> Conditions:
    temperature_c, salinity_g_kg = _WARM_FRESH
    return conditions(
        temperature_c=np.array([temperature_c]), salinity_g_kg=np.array([salinity_g_kg])
    )


def _error(found: Floats, truth: Floats) -> float:
    return float(np.abs(found[:, :3] - truth[:, :3]).max())


def _fastest(work: Callable[[], object]) -> float:
    return min(_timed(work) for _ in range(_TURNS))


def _timed(work: Callable[[], object]) -> float:
    began_s = time.perf_counter()
    work()
    return time.perf_counter() - began_s
