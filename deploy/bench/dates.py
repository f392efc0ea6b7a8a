"""How good the dates were: at each day, overall, for those that became ready, and by subgroup."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass
from typing import Any, Final, TypeAlias

import numpy as np

from deploy.bench.forecasting import SCORED_DAYS, Told
from deploy.bench.peers import Memory, rule_days, true_days
from deploy.bench.scores import (
    BANDS,
    MEDIAN,
    covered,
    crps_of_members,
    crps_of_quantiles,
    paired_gain,
    width,
)
from deploy.bench.startups.arrays import Floats

Row: TypeAlias = dict[str, Any]
_FEWEST_IN_A_GROUP: Final = 20
_GROUPS: Final[dict[str, Callable[[Told], str]]] = {
    "scenario": lambda told: told.start_up.scenario,
    "water": lambda told: told.start_up.water,
    "seed": lambda told: "seeded" if told.start_up.is_seeded else "unseeded",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Scored:
    """Forecasts of one day as arrays, one row a start-up."""

    truth: Floats
    is_ready: Floats
    ours: Floats
    ours_crps: Floats
    peer: Floats
    peer_crps: Floats
    rule: Floats
    never: Floats


def scored_days(told: Sequence[Told], *, memory: Memory) -> list[Row]:
    """Return one row for each scored day."""
    return [_row(day, _of_day(told, day), memory) for day in SCORED_DAYS]


def subgroups(told: Sequence[Told], *, memory: Memory) -> list[Row]:
    """Return coverage and score by scenario, water and seed at each day, with their counts."""
    return [
        {"day": day, "by": by, "group": group, "is_large": len(members) >= _FEWEST_IN_A_GROUP}
        | _brief(_scored(members, memory))
        for day in SCORED_DAYS
        for by, group, members in _grouped(_of_day(told, day))
    ]


def pooled(told: Sequence[Told], *, memory: Memory) -> list[Row]:
    """Return the same by subgroup over all scored days together."""
    counted = [one for one in told if one.day in SCORED_DAYS]
    return [
        {"by": by, "group": group} | _brief(_scored(members, memory))
        for by, group, members in _grouped(counted)
    ]


def _of_day(told: Sequence[Told], day: int) -> list[Told]:
    return [one for one in told if one.day == day]


def _grouped(told: Sequence[Told]) -> Iterator[tuple[str, str, list[Told]]]:
    for by, name in _GROUPS.items():
        for group in sorted({name(one) for one in told}):
            yield by, group, [one for one in told if name(one) == group]


def _scored(told: Sequence[Told], memory: Memory) -> _Scored:
    truth = np.array([true_days(one.start_up) for one in told])
    ours = np.array([one.quantiles_d for one in told])
    return _Scored(
        truth=truth,
        is_ready=np.array([one.start_up.ready_at_h is not None for one in told], dtype=np.float64),
        ours=ours,
        ours_crps=crps_of_quantiles(ours, truth),
        peer=np.array([memory.quantiles(one.start_up, day=one.day) for one in told]),
        peer_crps=np.array(
            [
                crps_of_members(memory.members(one.start_up, day=one.day), ready_day)
                for one, ready_day in zip(told, truth.tolist(), strict=True)
            ]
        ),
        rule=np.array([rule_days(one.start_up, day=one.day) for one in told]),
        never=np.array([one.forecast.planned.never_by_horizon for one in told]),
    )


def _row(day: int, told: Sequence[Told], memory: Memory) -> Row:
    if not told:
        return {"day": day, "n": 0}
    scored = _scored(told, memory)
    ready = scored.is_ready > 0.0
    return {
        "day": day,
        "n": len(scored.truth),
        "all": _compared(scored, np.ones_like(ready)),
        "ready_only": _compared(scored, ready) if ready.any() else None,
        "coverage": _coverage(scored.ours, scored.truth),
        "peer_coverage": _coverage(scored.peer, scored.truth),
        "width80_d": {"ours": width(scored.ours, band="80"), "peer": width(scored.peer, band="80")},
        "never": {
            "n_never": int((~ready).sum()),
            "on_never_ready": _mean(scored.never[~ready]),
            "on_ready": _mean(scored.never[ready]),
        },
    }


def _compared(scored: _Scored, among: "np.ndarray[Any, np.dtype[np.bool_]]") -> Row:
    truth = scored.truth[among]
    rule = np.abs(scored.rule[among] - truth)
    return {
        "n": len(truth),
        "crps_d": {
            "ours": _mean(scored.ours_crps[among]),
            "peer": _mean(scored.peer_crps[among]),
            "rule": _mean(rule),
        },
        "gain_on_peer_d": asdict(paired_gain(scored.ours_crps[among], scored.peer_crps[among])),
        "median_error_d": {
            "ours": _mean(np.abs(scored.ours[among, MEDIAN] - truth)),
            "peer": _mean(np.abs(scored.peer[among, MEDIAN] - truth)),
            "rule": _mean(rule),
        },
    }


def _brief(scored: _Scored) -> Row:
    return {
        "n": len(scored.truth),
        "crps_d": {"ours": _mean(scored.ours_crps), "peer": _mean(scored.peer_crps)},
        "coverage": _coverage(scored.ours, scored.truth),
        "width80_d": width(scored.ours, band="80"),
        "median_bias_d": _mean(scored.ours[:, MEDIAN] - scored.truth),
    }


def _coverage(quantiles: Floats, truth: Floats) -> dict[str, float]:
    return {band: covered(quantiles, truth, band=band) for band in BANDS}


def _mean(values: Floats) -> float | None:
    return float(values.mean()) if len(values) else None
