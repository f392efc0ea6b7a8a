"""A water from now on: where it stands, who follows it, and by whose plan."""

import math
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np

from chemistry.cycling.arrays import HOURS_PER_DAY, Floats
from chemistry.cycling.case import Case, Feed
from chemistry.cycling.members import Members
from chemistry.cycling.model import Conditions, conditions
from chemistry.cycling.proof import days_sustained
from chemistry.cycling.timeline import FEED_LASTS_H, climate

Rhythm: TypeAlias = tuple[int, float, int]
_LATELY_H: Final = 168.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """``state`` is (6, members) at now; ``first_dose_mg_l_n`` replaces the plan's first dose."""

    case: Case
    state: Floats
    members: Members
    first_dose_mg_l_n: float | None = None

    @property
    def rhythm(self) -> Rhythm:
        """Checks a day, hours of a challenge, days it is repeated: what a batch must share."""
        ready = self.case.ready
        return self.case.plan.checks_per_day, ready.window_h, days_sustained(ready)

    @property
    def days(self) -> int:
        """How many daily challenges reach the horizon and prove its last one sustained."""
        ready = self.case.ready
        ahead_h = max(ready.horizon_h - self.case.now_h, 0.0) + ready.sustained_h
        return math.ceil(ahead_h / HOURS_PER_DAY) + 1

    @property
    def feed_left_mg_l_n(self) -> float:
        """What recent feed has yet to become in TAN, taken as spread over the coming day."""
        return sum(
            event.rise_mg_l_n * max(1.0 - (self.case.now_h - event.t_h) / FEED_LASTS_H, 0.0)
            for event in self.case.events
            if isinstance(event, Feed)
        )


def conditions_ahead(case: Case) -> Conditions:
    """Return the conditions, per day, which the forecast takes as lasting.

    The temperature is the median of the last week's readings: a heater that fails is mended.
    """
    weather = climate(case)
    now_h = np.array([case.now_h])
    return conditions(
        temperature_c=np.array([_usual_temperature_c(case)]),
        salinity_g_kg=weather.salinity_g_kg(now_h),
    )


def _usual_temperature_c(case: Case) -> float:
    lately = [
        reading.span.low
        for reading in case.of("temperature")
        if reading.t_h >= case.now_h - _LATELY_H
    ]
    if lately:
        return float(np.median(lately))
    return float(climate(case).temperature_c(np.array([case.now_h]))[0])
