"""``bench forecast``: the start-up forecast scored on simulated start-ups it has never seen."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any, Final, TypeAlias

import numpy as np

from deploy.bench.alarms import alarms
from deploy.bench.dates import pooled, scored_days, subgroups
from deploy.bench.forecasting import told_forecasts
from deploy.bench.options import Options
from deploy.bench.peers import memory_of
from deploy.bench.startups import CALIBRATION_SEED, StartUp, set_of, simulate
from deploy.bench.targets import targets

Row: TypeAlias = dict[str, Any]
EARLIER: Final = 340


def forecast_bench(options: Options) -> Row:
    """Return all scores of one run as plain numbers, ready for JSON."""
    start_ups = simulate(options.seed, options.cycles)
    memory = memory_of(simulate(CALIBRATION_SEED, EARLIER))
    told, pace = told_forecasts(start_ups, members=options.members, workers=options.workers)
    found = {
        "seed": options.seed,
        "seed_set": set_of(options.seed),
        "cycles": options.cycles,
        "members": options.members,
        "forecasts": len(told),
        "peer": f"ready days of {EARLIER} start-ups of seed {CALIBRATION_SEED}, by seeded flag,"
        " given not ready yet",
        "truth": truths(start_ups),
        "days": scored_days(told, memory=memory),
        "pooled": pooled(told, memory=memory),
        "subgroups": subgroups(told, memory=memory),
        "alarms": alarms(told),
        "seconds": asdict(pace),
    }
    return found | {"targets": targets(found)}


def truths(start_ups: Sequence[StartUp]) -> list[Row]:
    """Return the ready days by scenario, so that a reader can judge the simulator."""
    scenarios = sorted({start_up.scenario for start_up in start_ups})
    rows = [_truth(name, [one for one in start_ups if one.scenario == name]) for name in scenarios]
    return [*rows, _truth("all", start_ups)]


def _truth(name: str, start_ups: Sequence[StartUp]) -> Row:
    days = [np.inf if one.ready_at_h is None else one.ready_at_h / 24.0 for one in start_ups]
    return {
        "scenario": name,
        "n": len(days),
        "never": int(np.isinf(days).sum()),
        "ready_day": {f"q{level:02d}": _quantile(days, level) for level in (10, 50, 90)},
    }


def _quantile(days: Sequence[float], level: int) -> float | None:
    found = float(np.quantile(days, level / 100.0, method="inverted_cdf"))
    return found if np.isfinite(found) else None
