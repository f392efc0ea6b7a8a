"""The clock of a course: it counts only time that lies between readings inside the window.

Below the window nothing is treated, above it animals are harmed. Waiting alone never adds time:
what comes after the latest reading counts once the next one is inside too.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Final, Literal, TypeAlias

Where: TypeAlias = Literal["below", "inside", "above", "unsure"]
State: TypeAlias = Literal["not begun", "running", "paused", "reached"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """``readings_in_row`` inside the window start the clock: the last of them is its zero."""

    low: float
    high: float
    days: float
    readings_in_row: int
    resets: bool
    longest_gap_h: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    at: datetime
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """Something that moved the clock, told for people: ``what`` is one of a few words."""

    at: datetime
    what: Literal["started", "paused", "went on", "set back", "gap", "reached"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """``counted`` is proven by readings; ``open_since`` is when the latest of them was taken.

    ``in_row`` readings were inside one after another at the end.
    """

    state: State = "not begun"
    counted: timedelta = timedelta()
    started_at: datetime | None = None
    reached_at: datetime | None = None
    open_since: datetime | None = None
    in_row: int = 0
    last: Where | None = None
    next_by: datetime | None = None
    events: tuple[Event, ...] = field(default=())

    @property
    def days(self) -> float:
        return self.counted / timedelta(days=1)


def where(read: Read, terms: Terms) -> Where:
    """Tell where a reading lies; a bracket across an edge is unsure, and does not count."""
    if read.high < terms.low or (read.high == terms.low and read.low < terms.low):
        return "below"
    if read.low > terms.high:
        return "above"
    return "inside" if read.low >= terms.low and read.high <= terms.high else "unsure"


def clock(reads: Iterable[Read], terms: Terms, *, at: datetime) -> Standing:
    """Return how the clock stands at ``at`` by the readings taken up to then."""
    standing = Standing()
    for read in sorted((one for one in reads if one.at <= at), key=lambda one: one.at):
        standing = _advanced(standing, read, terms)
    return _by_now(standing, terms, at)


def _advanced(before: Standing, read: Read, terms: Terms) -> Standing:
    if before.state == "reached":
        return replace(before, last=where(read, terms), open_since=read.at)
    place = where(read, terms)
    if place != "inside":
        return _outside(before, read, place, terms)
    counted = _counted(before, read, terms)
    return _told(before, read, counted, terms)


def _outside(before: Standing, read: Read, place: Where, terms: Terms) -> Standing:
    ran = before.state == "running"
    after = replace(before, in_row=0, last=place, open_since=read.at)
    if not ran:
        return after
    if not terms.resets:
        return replace(after, state="paused", events=_with(before, read, "paused"))
    return Standing(last=place, open_since=read.at, events=_with(before, read, "set back"))


def _counted(before: Standing, read: Read, terms: Terms) -> Standing:
    """Add the time since the reading before, if that was inside and not too long ago."""
    if before.state != "running" or before.open_since is None:
        return before
    gap = read.at - before.open_since
    if gap > timedelta(hours=terms.longest_gap_h):
        return replace(before, events=_with(before, read, "gap"))
    return replace(before, counted=before.counted + gap)


def _told(before: Standing, read: Read, counted: Standing, terms: Terms) -> Standing:
    in_row = before.in_row + 1
    after = replace(counted, in_row=in_row, last="inside", open_since=read.at)
    if after.state == "running":
        return _reached(after, read, terms)
    if after.state == "paused":
        return replace(after, state="running", events=_with(after, read, "went on"))
    if in_row < terms.readings_in_row:
        return after
    started = replace(after, state="running", started_at=read.at)
    return _reached(replace(started, events=_with(after, read, "started")), read, terms)


def _reached(standing: Standing, read: Read, terms: Terms) -> Standing:
    if standing.counted < timedelta(days=terms.days):
        return standing
    events = _with(standing, read, "reached")
    return replace(standing, state="reached", reached_at=read.at, events=events)


def _by_now(standing: Standing, terms: Terms, at: datetime) -> Standing:
    """A clock nobody has read for too long stands still, and says when it should have been."""
    if standing.state != "running" or standing.open_since is None:
        return standing
    next_by = standing.open_since + timedelta(hours=terms.longest_gap_h)
    return replace(standing, state="running" if at <= next_by else "paused", next_by=next_by)


def _with(
    standing: Standing,
    read: Read,
    what: Literal["started", "paused", "went on", "set back", "gap", "reached"],
) -> tuple[Event, ...]:
    return (*standing.events, Event(at=read.at, what=what))


SAYS: Final = {
    "started": "The clock started",
    "paused": "Out of the window: the clock stands still from the reading before",
    "went on": "Inside the window again: the clock goes on",
    "set back": "Out of the window: the clock was set back to nothing",
    "gap": "Too long since the reading before: that time does not count",
    "reached": "The days are reached",
}
