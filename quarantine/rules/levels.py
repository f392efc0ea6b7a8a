"""How much of an agent is in a water over time: doses, water changes, decay and readings.

A level is a band: below detection is not zero, and a bracket stays a bracket. A reading replaces
what was reckoned before it; what was given or changed after it counts from there.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final, TypeAlias


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """A dose that raised the level by ``rise``."""

    at: datetime
    rise: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """A ``share`` from 0 to 1 of the water was replaced by water without the agent."""

    at: datetime
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    at: datetime
    low: float
    high: float


Event: TypeAlias = Given | Changed | Read


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """The level at a moment lies from ``low`` to ``high``."""

    at: datetime
    low: float
    high: float

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2


def level_at(events: Iterable[Event], *, at: datetime, half_life_h: float | None) -> Level:
    """Return the level at ``at``, counting what happened up to then; 0 before the first event."""
    past = sorted((event for event in events if event.at <= at), key=_order)
    level = Level(at=past[0].at if past else at, low=0.0, high=0.0)
    for event in past:
        level = _after(_left(level, event.at, half_life_h), event)
    return _left(level, at, half_life_h)


def curve(
    events: Sequence[Event],
    *,
    since: datetime,
    until: datetime,
    half_life_h: float | None,
    points: int = 96,
) -> list[Level]:
    """Return the level along the time, with a point before and one after each event."""
    step = max((until - since) / points, timedelta(minutes=1))
    moments = {since + step * number for number in range(points + 1)}
    for event in events:
        moments |= {event.at - _JUST_BEFORE, event.at}
    shown = sorted(moment for moment in moments if since <= moment <= until)
    return list(_levels(events, shown, half_life_h))


def redose(*, target: float, share: float) -> float:
    """Return the rise that puts back what a change of ``share`` of the water took."""
    return target * share


_JUST_BEFORE: Final = timedelta(seconds=1)
# At one moment the water is changed first, then dosed, then read.
_ORDER: Final = {Changed: 0, Given: 1, Read: 2}


def _order(event: Event) -> tuple[datetime, int]:
    return event.at, _ORDER[type(event)]


def _levels(
    events: Sequence[Event], moments: Iterable[datetime], half_life_h: float | None
) -> Iterator[Level]:
    for moment in moments:
        yield level_at(events, at=moment, half_life_h=half_life_h)


def _after(level: Level, event: Event) -> Level:
    match event:
        case Given(at=at, rise=rise):
            return Level(at=at, low=level.low + rise, high=level.high + rise)
        case Changed(at=at, share=share):
            left = 1.0 - share
            return Level(at=at, low=level.low * left, high=level.high * left)
        case Read(at=at, low=low, high=high):
            return Level(at=at, low=low, high=high)


def _left(level: Level, at: datetime, half_life_h: float | None) -> Level:
    """What decay leaves; without a half-life the level stays."""
    if half_life_h is None:
        return Level(at=at, low=level.low, high=level.high)
    left = 0.5 ** ((at - level.at) / timedelta(hours=half_life_h))
    return Level(at=at, low=level.low * left, high=level.high * left)
