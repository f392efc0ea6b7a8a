"""Keepers: when they come, what they read and what they do, by habit or by a given policy."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np

from deploy.bench.startups.records import Record, Row, Visit
from deploy.bench.startups.scenarios import HORIZON_H, Setting

Policy: TypeAlias = Callable[[Sequence[Visit]], Sequence[Sequence[Row]]]

FIRST_VISIT_H: Final = 0.25
_DAYS: Final = int(HORIZON_H / 24.0)
_NEVER_MISSED_DAYS: Final = 3
_GAP_CHANCE: Final = 0.02
_BUFFERS_SOFT_WATER: Final = 0.5
_BREAKS_WORD: Final = 0.25
_WORRYING_TAN_MG_L_N: Final = 6.0
_WORRYING_NITRITE_MG_L_N: Final = 4.0
_SHOCK_PPT: Final = (4.0, 15.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Habit:
    """How one keeper keeps to a plan; ``dose_scale`` is a volume wrongly known."""

    first_dose_mg_l_n: float
    dose_scale: float
    follows: float
    buffers: bool
    reacts: float
    change: float
    misses: float
    hour: float
    tap_alkalinity_meq_l: float
    tap_nitrate_mg_l_n: float
    salinity_step_at_h: float
    salinity_step_ppt: float


def habit(rng: np.random.Generator, setting: Setting) -> Habit:
    rash = setting.scenario == "overdose"
    soft = setting.scenario == "low_alk"
    return Habit(
        first_dose_mg_l_n=float(
            rng.uniform(9.0, 18.0) if rash else rng.choice([2.0, 2.0, 3.0, 4.0])
        ),
        dose_scale=float(np.exp(rng.normal(0.0, 0.10))),
        follows=float(rng.uniform(0.8, 1.0)),
        buffers=bool(rng.random() < _BUFFERS_SOFT_WATER) or not soft,
        reacts=float(rng.choice([0.0, 0.15, 0.4])),
        change=float(rng.choice([0.25, 0.3, 0.5])),
        misses=float(rng.uniform(0.05, 0.5)),
        hour=float(rng.uniform(9.0, 20.0)),
        tap_alkalinity_meq_l=setting.alkalinity_meq_l * float(np.exp(rng.normal(0.0, 0.05))),
        tap_nitrate_mg_l_n=float(rng.uniform(0.0, 5.0)),
        salinity_step_at_h=24.0 * float(rng.uniform(2.0, 10.0)),
        salinity_step_ppt=float(rng.uniform(*_SHOCK_PPT)) if _is_shocked(setting) else 0.0,
    )


def plan(rng: np.random.Generator, setting: Setting, ways: Habit) -> Row:
    """Return the written plan; some who never buffer have written that they would."""
    rash = setting.scenario == "overdose"
    written = ways.buffers or rng.random() < _BREAKS_WORD
    return {
        "tan_at_or_below_mg_l_n": float(rng.choice([1.0, 2.0] if rash else [0.25, 0.5, 0.5, 1.0])),
        "nitrite_at_or_below_mg_l_n": float(rng.choice([20.0] if rash else [2.0, 2.0, 5.0])),
        "redose_mg_l_n": float(rng.choice([5.0, 6.0] if rash else [2.0, 2.0, 2.0, 3.0])),
        "checks_per_day": 1,
        "adds_alkalinity_when_ph_at_or_below": float(rng.choice([7.2, 7.4, 7.4])),
        "alkalinity_step_meq_l": float(rng.choice([1.0, 1.5, 1.5])) if written else 0.0,
    }


def visit_moments_h(rng: np.random.Generator, ways: Habit, *, at_hour: float | None) -> list[float]:
    """Return when the keeper comes, on quarters of an hour; all keepers ``at_hour`` if given."""
    moments = [FIRST_VISIT_H]
    away_until = 0
    for day in range(1, _DAYS + 1):
        if rng.random() < _GAP_CHANCE:
            away_until = day + int(rng.integers(2, 6))
        wandering = ways.hour + float(rng.uniform(-2.0, 2.0))
        missed = rng.random() < ways.misses or day < away_until
        if missed and day >= _NEVER_MISSED_DAYS:
            continue
        hour = wandering if at_hour is None else at_hour
        moments.append(24.0 * (day - 1) + round(4.0 * hour) / 4.0)
    return moments


def opening(record: Record, ways: Habit) -> list[Row]:
    """Return what is done at the first visit, whoever decides later."""
    setting, acts = record.setting, [_dose(FIRST_VISIT_H, ways.first_dose_mg_l_n)]
    if setting.has_told_disinfection:
        acts.append({"t_h": FIRST_VISIT_H, "kind": "disinfection"})
    if setting.is_seeded:
        acts.append({"t_h": FIRST_VISIT_H, "kind": "inoculate"})
    return acts[::-1]


def by_habit(visit: Visit, ways: Habit, *, rng: np.random.Generator) -> list[Row]:
    """Return what a keeper does who mostly follows the plan and sometimes takes fright."""
    record, t_h = visit.record, visit.t_h
    acts = _shock(record, ways, t_h)
    if _is_frightened(record) and rng.random() < ways.reacts:
        acts.append(_water_change(t_h, ways))
        return acts
    if ways.buffers and rng.random() < ways.follows:
        acts += _buffering(record, t_h)
    if rng.random() < ways.follows:
        acts += dosing(record, t_h=t_h)
    return acts


def dosing(record: Record, *, t_h: float) -> list[Row]:
    """Return the dose the written plan asks for after the readings just taken, if any."""
    tan = record.taken.get("tan", 0.0)
    nitrite = record.taken.get("nitrite", 0.0)
    wants = tan <= record.plan["tan_at_or_below_mg_l_n"]
    if wants and nitrite <= record.plan["nitrite_at_or_below_mg_l_n"]:
        return [_dose(t_h, record.plan["redose_mg_l_n"])]
    return []


def _is_shocked(setting: Setting) -> bool:
    return setting.scenario == "salinity_shock"


def _is_frightened(record: Record) -> bool:
    return (
        record.taken.get("tan", 0.0) > _WORRYING_TAN_MG_L_N
        or record.taken.get("nitrite", 0.0) > _WORRYING_NITRITE_MG_L_N
    )


def _shock(record: Record, ways: Habit, t_h: float) -> list[Row]:
    done = any(event["kind"] == "salinity_change" for event in record.events)
    if ways.salinity_step_ppt == 0.0 or done or t_h < ways.salinity_step_at_h:
        return []
    reached = record.setting.salinity + ways.salinity_step_ppt
    return [{"t_h": t_h, "kind": "salinity_change", "salinity_ppt": round(reached, 1)}]


def _buffering(record: Record, t_h: float) -> list[Row]:
    step = record.plan["alkalinity_step_meq_l"]
    low = record.taken.get("ph", 9.0) <= record.plan["adds_alkalinity_when_ph_at_or_below"]
    if not low or step == 0.0:
        return []
    return [{"t_h": t_h, "kind": "add_alkalinity", "amount": step, "unit": "meq/L"}]


def _dose(t_h: float, amount_mg_l_n: float) -> Row:
    return {
        "t_h": t_h,
        "kind": "dose_nh4cl",
        "amount": round(amount_mg_l_n, 2),
        "unit": "mg/L",
        "basis": "N",
    }


def _water_change(t_h: float, ways: Habit) -> Row:
    return {
        "t_h": t_h,
        "kind": "water_change",
        "fraction": ways.change,
        "source_alkalinity_meq_l": round(ways.tap_alkalinity_meq_l, 1),
        "source_tan_mg_l_n": 0.0,
    }
