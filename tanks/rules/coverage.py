"""Which waters were tested as often as they should be, and which were not. Pure.

Nothing is averaged: a system counts as tested only when each parameter was read in time, and
whatever is missing is named with when it was last read. That systems are read weekly for TAN,
nitrite and pH, monthly for nitrate and alkalinity, and a share of the tanks with filters of
their own each week in rotation, is common practice, no source; the share is the site's policy.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import ceil
from typing import Final

WEEK: Final = timedelta(days=7)
MONTH: Final = timedelta(days=31)
USUAL_SHARE_PERCENT: Final = 10.0
EVERY: Final = {"TAN": WEEK, "NITRITE": WEEK, "PH": WEEK, "NITRATE": MONTH, "ALKALINITY": MONTH}
WEEKLY: Final = tuple(parameter for parameter, every in EVERY.items() if every == WEEK)


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """A water by a key of the caller's, and when each parameter was last read, if ever."""

    key: str
    read_at: Mapping[str, datetime]

    @property
    def tested_at(self) -> datetime | None:
        """When the last of the weekly parameters was read, the longest ago; None without one."""
        times = [self.read_at.get(parameter) for parameter in WEEKLY]
        known = [each for each in times if each is not None]
        return min(known) if len(known) == len(times) else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    parameter: str
    read_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rotation:
    """Of ``tanks`` so many were tested this week, of so many ``needed``.

    ``behind`` are those that a full turn of the rotation has passed by, the longest ago first;
    ``turn_days`` is how long a turn takes.
    """

    tanks: int
    tested: int
    needed: int
    turn_days: int
    behind: tuple[Seen, ...]

    @property
    def is_met(self) -> bool:
        return self.tested >= self.needed and not self.behind


def missing(water: Seen, *, at: datetime) -> tuple[Missing, ...]:
    """Return every parameter that was not read in its time, with when it was last read."""
    return tuple(
        Missing(parameter=parameter, read_at=water.read_at.get(parameter))
        for parameter, every in EVERY.items()
        if not _is_within(water.read_at.get(parameter), every, at)
    )


def rotation(tanks: Iterable[Seen], *, share_percent: float, at: datetime) -> Rotation:
    """Return how the tanks that stand alone come round."""
    tanks = tuple(tanks)
    turn = ceil(100 / share_percent) * WEEK
    behind = [tank for tank in tanks if not _is_within(tank.tested_at, turn, at)]
    return Rotation(
        tanks=len(tanks),
        tested=sum(_is_within(tank.tested_at, WEEK, at) for tank in tanks),
        # Rounded first: a tenth of 30 tanks is 3, not the 4 that binary fractions would make it.
        needed=ceil(round(len(tanks) * share_percent / 100, 6)),
        turn_days=turn.days,
        behind=tuple(sorted(behind, key=_longest_ago)),
    )


def next_in_turn(tanks: Iterable[Seen], count: int) -> tuple[Seen, ...]:
    """Return those that were tested the longest ago, never before ever."""
    return tuple(sorted(tanks, key=_longest_ago)[:count])


def _is_within(read_at: datetime | None, every: timedelta, at: datetime) -> bool:
    return read_at is not None and at - read_at <= every


def _longest_ago(tank: Seen) -> tuple[bool, float, str]:
    tested_at = tank.tested_at
    return tested_at is not None, tested_at.timestamp() if tested_at else 0.0, tank.key
