"""How long animals must still wait: the clock belongs to the water, not to the lot. Pure.

Where consignments share recirculating water, none is released before the last to enter it has
completed its own stay: Department of Agriculture, Fisheries and Forestry (Australia), Import
Industry Advice Notice 41-2025. So every entry into a water sets the date of all who share it
at that moment; who left before keeps what they met until then. Temperature may ask for more.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final, Literal, TypeAlias
from uuid import UUID

# Whether days go on counting, stand still, or begin anew.
Course: TypeAlias = str
COUNT: Final = "COUNT"
PAUSE: Final = "PAUSE"
RESET: Final = "RESET"

# Days that the life cycles of parasites ask for, counted since a moment.
LeastDays: TypeAlias = Callable[[datetime], int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Flow:
    """One line of the book of animals: ``count`` went from somewhere to somewhere, or neither.

    ``is_arrival`` when they came from outside the house; births and finds are not entries.
    """

    at: datetime
    count: int
    from_lot: UUID | None = None
    from_vessel: UUID | None = None
    to_lot: UUID | None = None
    to_vessel: UUID | None = None
    is_arrival: bool = False
    told: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Touch:
    """A kit went wet from one vessel to another, not disinfected between."""

    at: datetime
    from_vessel: UUID
    to_vessel: UUID
    told: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Disturbance:
    """Something after which days may not count: a treatment, a death, a pathogen found.

    ``until`` is None while it lasts; a moment's event ends when it begins. ``row`` is the
    course, death or finding it is.
    """

    at: datetime
    vessel: UUID
    course: Course
    told: str
    until: datetime | None = None
    row: UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Freed:
    """A lot in a vessel was released; as long as it meets nothing new it stays so."""

    at: datetime
    lot: UUID
    vessel: UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """Something entered the water: from ``at`` on, ``days`` more for all of ``lots``."""

    at: datetime
    how: Literal["ANIMALS", "VALVE", "KIT", "RESET"]
    told: str
    lots: frozenset[UUID]
    days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """What the animals of a lot in one vessel have met since they came."""

    lot: UUID
    vessel: UUID
    count: int
    entries: frozenset[Entry] = frozenset()
    disturbances: frozenset[Disturbance] = frozenset()
    freed_at: datetime | None = None
    emptied_at: datetime | None = None

    @property
    def last(self) -> Entry | None:
        """The latest entry into the water they shared."""
        return max(self.entries, key=lambda entry: (entry.at, entry.told), default=None)

    @property
    def is_settled(self) -> bool:
        """Never in quarantine here, or released and nothing has entered since."""
        if not self.entries:
            return True
        return self.freed_at is not None and all(entry.at < self.freed_at for entry in self.entries)


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """``since`` is the last entry; what nothing ever entered has neither beginning nor end.

    ``waits`` says what has no end yet; until it has, no date can be told.
    """

    since: datetime | None
    ends_at: datetime | None
    binding: Entry | None
    waits: tuple[str, ...] = ()

    def is_over(self, at: datetime) -> bool:
        return not self.waits and (self.ends_at is None or self.ends_at <= at)


def clock_for(stay: Stay, least_days: LeastDays = lambda _: 0) -> Clock:
    """Return until when these animals wait, by everything they have met."""
    ending = [one for one in stay.disturbances if one.course != COUNT]
    waits = tuple(sorted({one.told for one in ending if one.until is None}))
    entries = sorted([*stay.entries, *_restarts(stay, ending)], key=lambda entry: entry.at)
    pauses = _pauses(ending)
    dates = [(_end(one, pauses, least_days), one) for one in entries]
    if not dates:
        return Clock(since=None, ends_at=None, binding=None, waits=waits)
    ends_at, binding = max(dates, key=lambda dated: (dated[0], dated[1].at))
    return Clock(
        since=entries[-1].at,
        ends_at=None if waits else ends_at,
        binding=binding,
        waits=waits,
    )


def _restarts(stay: Stay, ending: Iterable[Disturbance]) -> list[Entry]:
    """What sets the clock anew when it is over, such as the last day of a treatment."""
    days = max((entry.days for entry in stay.entries), default=0)
    return [
        Entry(at=one.until, how="RESET", told=one.told, lots=frozenset([stay.lot]), days=days)
        for one in ending
        if one.course == RESET and one.until is not None and stay.entries
    ]


def _pauses(ending: Iterable[Disturbance]) -> list[tuple[datetime, datetime]]:
    """Spans whose days do not count, in order and none overlapping another."""
    spans = sorted((one.at, one.until) for one in ending if one.course == PAUSE and one.until)
    joined: list[tuple[datetime, datetime]] = []
    for since, until in spans:
        if joined and since <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], until))
        else:
            joined.append((since, until))
    return joined


def _end(entry: Entry, pauses: list[tuple[datetime, datetime]], least: LeastDays) -> datetime:
    ends_at = entry.at + timedelta(days=max(entry.days, least(entry.at)))
    for since, until in pauses:
        if until > entry.at and since < ends_at:
            ends_at += until - max(since, entry.at)
    return ends_at
