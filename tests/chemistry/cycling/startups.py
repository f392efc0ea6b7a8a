"""Invented start-ups: builders where everything can be overridden."""

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np

from chemistry.cycling import (
    AmmoniumDose,
    Case,
    Event,
    Forecast,
    Inoculation,
    Reading,
    System,
    forecast_case,
)
from chemistry.cycling.arrays import Floats
from chemistry.cycling.history import live
from chemistry.cycling.members import Members, members_from
from chemistry.cycling.model import Conditions, conditions
from chemistry.cycling.plan import follow
from chemistry.cycling.priors import hypotheses
from chemistry.cycling.timeline import timeline

_UNITS = {
    "tan": ("mg/L", "N"),
    "nitrite": ("mg/L", "N"),
    "nitrate": ("mg/L", "N"),
    "ph": ("pH", "NBS"),
    "alkalinity": ("meq/L", None),
    "temperature": ("degC", None),
    "salinity": ("ppt", None),
}


def reading(*, day: float, value: float | str, of: str, **written: Any) -> Reading:
    unit, basis = _UNITS[of]
    usual = Reading(t_h=24.0 * day, parameter=of, value=value, unit=unit, basis=basis)
    return replace(usual, **written)


DAY_H = 24.0


def daily(of: str, *values: float | str, first_day: int = 1) -> tuple[Reading, ...]:
    return tuple(
        reading(day=first_day + day, value=value, of=of) for day, value in enumerate(values)
    )


HARD = reading(day=0, value=4.0, of="alkalinity")


def doses(*days: float, amount: float = 2.0) -> tuple[Event, ...]:
    return tuple(AmmoniumDose(t_h=24.0 * day, amount=amount) for day in days)


def seeded_case(*, day: float, readings: tuple[Reading, ...], events: tuple[Event, ...]) -> Case:
    """A warm fresh water seeded at hour 0."""
    return Case(
        now_h=24.0 * day,
        system=System(water="fresh", temperature_setpoint_c=27.0),
        events=(Inoculation(t_h=0.0), *events),
        readings=readings,
    )


def promising_case(*, day: float = 5) -> Case:
    """Ammonia falls from the third day, nitrite rises behind it."""
    return seeded_case(
        day=day,
        events=doses(0.01, 4.01),
        readings=(
            reading(day=0, value=3.0, of="alkalinity"),
            *daily("tan", 2.0, 1.5, 1.0, 0.25, 1.0),
            *daily("nitrite", "<0.05", 0.5, 1.0, 1.5, 2.0),
            *daily("ph", 8.0, 8.0, 7.9, 7.9, 7.9),
        ),
    )


def recorded_case(*, day: int, seed: int) -> tuple[Case, float]:
    """A water whose truth is known, read daily with a colour kit, and when it becomes ready."""
    bare = seeded_case(day=day, readings=(), events=doses(0.01))
    truth = prior_members(count=1, case=bare, seed=seed)
    days_h = [24.0 * past for past in range(1, day + 1)]
    lived = live(timeline(bare, keep_h=days_h, longest_step_h=1.0), case=bare, members=truth)
    ahead = follow(lived.now, case=bare, members=truth)
    readings = (
        reading(day=0, value=float(truth.alkalinity_meq_l[0]), of="alkalinity"),
        *daily("tan", *(_colour(state[0, 0] * truth.tan_bias[0]) for state in lived.kept)),
        *daily("nitrite", *(_colour(state[1, 0] * truth.nitrite_bias[0]) for state in lived.kept)),
    )
    return replace(bare, readings=readings), float(ahead.ready_at_h[0])


def _colour(concentration_mg_l_n: float) -> float | str:
    """Return the nearest step of an invented kit."""
    steps = np.array([0.0, 0.25, 0.5, 1.0, 2.0, 4.0, 8.0])
    nearest = float(steps[np.abs(steps - concentration_mg_l_n).argmin()])
    return nearest or "<0.25"


def flat_case(*, day: int, events: tuple[Event, ...] = ()) -> Case:
    """Seeded, dosed, and nothing moves."""
    case = seeded_case(
        day=day,
        events=doses(0.01),
        readings=(
            HARD,
            *daily("tan", *[2.0] * day),
            *daily("nitrite", *["<0.05"] * day),
            *daily("ph", *[8.1] * day),
        ),
    )
    return replace(case, events=case.events + events)


@cache
def forecast_of(case: Case) -> Forecast:
    """A small forecast, made once for all tests that look at it."""
    return forecast_case(case, members=200)


def prior_members(*, count: int, case: Case, seed: int = 1) -> Members:
    """Members drawn from the first story told of ``case``."""
    story = hypotheses(case)[0]
    noise = np.random.default_rng(seed).standard_normal((len(story.median), count))
    drawn = story.median[:, None] + story.sd[:, None] * noise
    return members_from(drawn, inoculation=np.full(count, story.inoculation))


def steady(*, temperature_c: float = 27.0, salinity_g_kg: float = 0.3) -> Conditions:
    return conditions(
        temperature_c=np.array([temperature_c]), salinity_g_kg=np.array([salinity_g_kg])
    )


def water(
    *,
    members: int = 1,
    tan: float = 2.0,
    nitrite: float = 0.5,
    nitrate: float = 1.0,
    alkalinity: float = 2.2,
    capacities: tuple[float, float] = (1.0, 0.8),
) -> Floats:
    """A state, the same for every member."""
    column = np.array([tan, nitrite, nitrate, alkalinity, *capacities])
    return np.repeat(column[:, None], members, axis=1)
