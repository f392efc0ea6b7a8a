"""When a case's readings and events fall, and the steps between them: exact times, never rounded.

At equal times a reading comes before an event.
"""

import math
from bisect import bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from chemistry.cycling.arrays import Floats
from chemistry.cycling.case import Case, Feed, Inoculation, SalinityChange
from chemistry.cycling.changes import Change, change_of
from chemistry.cycling.model import Conditions, conditions

FEED_LASTS_H: Final = 24.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A moment: its state is kept if ``is_kept``, then the changes, then steps to the next."""

    t_h: float
    is_kept: bool
    changes: tuple[Change, ...]
    step_h: float
    conditions: tuple[Conditions, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Timeline:
    stops: tuple[Stop, ...]
    kept_h: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Climate:
    """Temperature as read, straight between readings; salinity in steps."""

    temperature: tuple[Floats, Floats]
    salinity: tuple[tuple[float, ...], tuple[float, ...]]

    def temperature_c(self, t_h: Floats) -> Floats:
        return np.interp(t_h, *self.temperature)

    def salinity_g_kg(self, t_h: float) -> float:
        """Return the salinity just after ``t_h``."""
        times, values = self.salinity
        return values[max(bisect_right(times, t_h) - 1, 0)]


def timeline(case: Case, *, keep_h: Iterable[float], longest_step_h: float) -> Timeline:
    """Lay out the case from 0 to now, keeping the state at each of ``keep_h``."""
    kept = tuple(sorted({t_h for t_h in keep_h if 0.0 <= t_h <= case.now_h}))
    feeds = [event for event in case.events if isinstance(event, Feed)]
    nodes = sorted(
        {0.0, case.now_h, *kept, *(event.t_h for event in case.events)}
        | {end for feed in feeds if (end := feed.t_h + FEED_LASTS_H) < case.now_h}
    )
    changes = _changes(case)
    stops = tuple(
        _stop(start, end, changes, kept, climate(case), feeds, longest_step_h)
        for start, end in zip(nodes, [*nodes[1:], case.now_h], strict=True)
    )
    return Timeline(stops=stops, kept_h=kept)


def climate(case: Case) -> Climate:
    """Return the temperature and salinity the case tells of."""
    read = [(reading.t_h, reading.span.low) for reading in case.of("temperature")]
    times, values = zip(*(read or [(0.0, case.system.temperature_setpoint_c)]), strict=True)
    salinity = [
        (0.0, case.system.salinity_ppt),
        *sorted(_salinities(case), key=lambda told: told[0]),
    ]
    steps, levels = zip(*salinity, strict=True)
    return Climate(temperature=(np.array(times), np.array(values)), salinity=(steps, levels))


def _salinities(case: Case) -> Iterator[tuple[float, float]]:
    for reading in case.of("salinity"):
        yield reading.t_h, reading.span.low
    for event in case.events:
        if isinstance(event, SalinityChange):
            yield event.t_h, event.salinity_ppt


def _changes(case: Case) -> dict[float, list[Change]]:
    found: dict[float, list[Change]] = {}
    weather, inoculations = climate(case), 0
    for event in case.events:
        before_g_kg = weather.salinity_g_kg(math.nextafter(event.t_h, -math.inf))
        found.setdefault(event.t_h, []).append(
            change_of(event, salinity_before_g_kg=before_g_kg, inoculations_before=inoculations)
        )
        inoculations += isinstance(event, Inoculation)
    return found


def _stop(
    start_h: float,
    end_h: float,
    changes: dict[float, list[Change]],
    kept: tuple[float, ...],
    weather: Climate,
    feeds: list[Feed],
    longest_step_h: float,
) -> Stop:
    count = math.ceil((end_h - start_h) / longest_step_h)
    moments = np.linspace(start_h, end_h, count + 1)
    salinity = np.full(count + 1, weather.salinity_g_kg(start_h))
    feed_mg_l_d = sum(feed_rate_mg_l_d(feed, at_h=start_h) for feed in feeds)
    return Stop(
        t_h=start_h,
        is_kept=start_h in kept,
        changes=tuple(changes.get(start_h, ())),
        step_h=(end_h - start_h) / max(count, 1),
        conditions=tuple(
            replace(moment, feed_mg_l_d=feed_mg_l_d)
            for moment in conditions(
                temperature_c=weather.temperature_c(moments), salinity_g_kg=salinity
            )
        ),
    )


def feed_rate_mg_l_d(feed: Feed, *, at_h: float) -> float:
    """Return how fast a feed is becoming TAN at a moment."""
    if feed.t_h <= at_h < feed.t_h + FEED_LASTS_H:
        return feed.rise_mg_l_n * 24.0 / FEED_LASTS_H
    return 0.0
