"""How much of the certified feed a newly stocked water may be given, and from when. Pure.

Begin at 10 to 25 % of the certified feed, then 25, 50, 75 and 100 %, each after three days or
more in a row with TAN and nitrite below the action levels: common practice, no source.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import accumulate
from typing import Final

STEPS: Final = (25, 50, 75, 100)
_DAY: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """From ``since`` on this share may be fed; ``is_earliest`` when it is only foreseen."""

    percent: int
    since: date
    is_earliest: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """Animals that are to enter on a day, and what they will be fed."""

    on: date
    feed_g_per_day: float
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """The feed of a water after somebody entered, against what it may be given that day."""

    planned: Planned
    feed_g_per_day: float
    allowed_g_per_day: float
    percent_allowed: int

    @property
    def fits(self) -> bool:
        return self.feed_g_per_day <= self.allowed_g_per_day + 1e-9


def ladder(first_percent: int) -> list[int]:
    """Return the shares a water goes through, beginning with the first."""
    return [first_percent, *(step for step in STEPS if step > first_percent)]


def rungs(
    days: Mapping[date, bool | None],
    *,
    stocked_on: date,
    today: date,
    first_percent: int,
    clean_days: int,
) -> list[Rung]:
    """Return from when each share may be fed: by clean days so far, then at the earliest.

    ``days`` tells of each day whether every reading of TAN and nitrite was below the action
    levels; a day that is not there, or None, was not read and does not count.
    """
    steps = ladder(first_percent)
    found = [Rung(percent=steps[0], since=stocked_on, is_earliest=stocked_on > today)]
    clean = 0
    day = stocked_on
    while len(found) < len(steps) and day <= today:
        clean = clean + 1 if days.get(day) else 0
        if clean >= clean_days:
            since = day + _DAY
            found.append(Rung(percent=steps[len(found)], since=since, is_earliest=since > today))
            clean = 0
        day += _DAY
    begun = max(day, stocked_on)
    for step in steps[len(found) :]:
        begun += timedelta(days=max(clean_days - clean, 0))
        clean = 0
        found.append(Rung(percent=step, since=begun, is_earliest=True))
    return found


def percent_on(day: date, ladder_of: Iterable[Rung]) -> int:
    """Return the share that may be fed on a day; nothing before the first."""
    return max((rung.percent for rung in ladder_of if rung.since <= day), default=0)


def loads(
    planned: Iterable[Planned],
    ladder_of: Iterable[Rung],
    *,
    present_g_per_day: float,
    certified_g_per_day: float,
) -> Iterator[Load]:
    """Yield the feed after each planned entry, in order of days, against what is allowed."""
    order = sorted(planned, key=lambda one: one.on)
    rungs_known = list(ladder_of)
    totals = accumulate((one.feed_g_per_day for one in order), initial=present_g_per_day)
    for one, feed in zip(order, list(totals)[1:], strict=True):
        percent = percent_on(one.on, rungs_known)
        yield Load(
            planned=one,
            feed_g_per_day=feed,
            allowed_g_per_day=certified_g_per_day * percent / 100,
            percent_allowed=percent,
        )
