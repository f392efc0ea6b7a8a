"""When a case's readings and events fall, and the steps between them: exact times, never rounded.

At equal times a reading comes before an event.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from chemistry.cycling.arrays import HOURS_PER_DAY, Floats, Whole
from chemistry.cycling.case import Case, Feed, Inoculation, SalinityChange
from chemistry.cycling.changes import Change, change_of
from chemistry.cycling.model import conditions

FEED_LASTS_H: Final = 24.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A moment after some number of steps: its state is kept if ``is_kept``, then the changes."""

    after_steps: int
    is_kept: bool
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Timeline:
    """``weather`` is (steps, 5): the rows of ``Conditions``, each over its own step."""

    stops: tuple[Stop, ...]
    kept_h: tuple[float, ...]
    weather: Floats

    @property
    def steps(self) -> int:
        return len(self.weather)


@dataclass(frozen=True, slots=True, kw_only=True)
class Climate:
    """Temperature as read, straight between readings; salinity in steps."""

    temperature: tuple[Floats, Floats]
    salinity: tuple[Floats, Floats]

    def temperature_c(self, t_h: Floats) -> Floats:
        return np.interp(t_h, *self.temperature)

    def salinity_g_kg(self, t_h: Floats) -> Floats:
        """Return the salinity just after each of ``t_h``."""
        times, values = self.salinity
        at = np.searchsorted(times, t_h, side="right") - 1
        return values[np.maximum(at, 0)]


def timeline(case: Case, *, keep_h: Iterable[float], longest_step_h: float) -> Timeline:
    """Lay out the case from 0 to now, keeping the state at each of ``keep_h``."""
    kept = tuple(sorted({t_h for t_h in keep_h if 0.0 <= t_h <= case.now_h}))
    feeds = [event for event in case.events if isinstance(event, Feed)]
    nodes = np.array(
        sorted(
            {0.0, case.now_h, *kept, *(event.t_h for event in case.events)}
            | {end for feed in feeds if (end := feed.t_h + FEED_LASTS_H) < case.now_h}
        )
    )
    counts = np.ceil(np.diff(nodes) / longest_step_h).astype(np.int64)
    return Timeline(
        stops=_stops(case, nodes, kept, counts),
        kept_h=kept,
        weather=_weather(case, nodes, feeds, counts),
    )


def _stops(case: Case, nodes: Floats, kept: tuple[float, ...], counts: Whole) -> tuple[Stop, ...]:
    changes, is_kept = _changes(case), set(kept)
    return tuple(
        Stop(after_steps=after, is_kept=t_h in is_kept, changes=tuple(changes.get(t_h, ())))
        for t_h, after in zip(nodes.tolist(), [0, *np.cumsum(counts).tolist()], strict=True)
        if t_h in is_kept or t_h in changes
    )


def _weather(case: Case, nodes: Floats, feeds: list[Feed], counts: Whole) -> Floats:
    """Return the conditions in the middle of each step: of second order, like the steps."""
    sky = climate(case)
    step_h = np.repeat(np.diff(nodes) / np.maximum(counts, 1), counts)
    ends_h = np.cumsum(counts)
    place = np.arange(len(step_h)) - np.repeat(ends_h - counts, counts)
    middle_h = np.repeat(nodes[:-1], counts) + (place + 0.5) * step_h
    at = conditions(
        temperature_c=sky.temperature_c(middle_h),
        salinity_g_kg=sky.salinity_g_kg(middle_h),
        feed_mg_l_d=sum((_feed_mg_l_d(feed, middle_h) for feed in feeds), np.zeros_like(middle_h)),
    )
    days = step_h / HOURS_PER_DAY
    weather = np.empty((len(step_h), 5))
    weather[:, :2] = (at.activity * days).T
    weather[:, 2] = at.ammonium_acidity
    weather[:, 3] = at.decay * days
    weather[:, 4] = at.feed_mg_l_n * days
    return weather


def _feed_mg_l_d(feed: Feed, t_h: Floats) -> Floats:
    """Return how fast a feed is becoming TAN."""
    lasts = (feed.t_h <= t_h) & (t_h < feed.t_h + FEED_LASTS_H)
    rate: Floats = np.where(lasts, feed.rise_mg_l_n * HOURS_PER_DAY / FEED_LASTS_H, 0.0)
    return rate


def climate(case: Case) -> Climate:
    """Return the temperature and salinity the case tells of."""
    read = [(reading.t_h, reading.span.low) for reading in case.of("temperature")]
    times, values = zip(*(read or [(0.0, case.system.temperature_setpoint_c)]), strict=True)
    salinity = [
        (0.0, case.system.salinity_ppt),
        *sorted(_salinities(case), key=lambda told: told[0]),
    ]
    steps, levels = zip(*salinity, strict=True)
    return Climate(
        temperature=(np.array(times), np.array(values)),
        salinity=(np.array(steps), np.array(levels)),
    )


def _salinities(case: Case) -> Iterator[tuple[float, float]]:
    for reading in case.of("salinity"):
        yield reading.t_h, reading.span.low
    for event in case.events:
        if isinstance(event, SalinityChange):
            yield event.t_h, event.salinity_ppt


def _changes(case: Case) -> dict[float, list[Change]]:
    found: dict[float, list[Change]] = {}
    before_h = np.array([math.nextafter(event.t_h, -math.inf) for event in case.events])
    salinities, inoculations = climate(case).salinity_g_kg(before_h).tolist(), 0
    for event, before_g_kg in zip(case.events, salinities, strict=True):
        found.setdefault(event.t_h, []).append(
            change_of(event, salinity_before_g_kg=before_g_kg, inoculations_before=inoculations)
        )
        inoculations += isinstance(event, Inoculation)
    return found
