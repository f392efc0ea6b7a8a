"""Which tasks the duties of a site ask for between two moments. Pure."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from uuid import UUID, uuid5

from facility.rules.recurrence import Rhythm, Turn, turns


@dataclass(frozen=True, slots=True, kw_only=True)
class Recurring:
    """A duty as far as time goes; its turns lie after ``since`` and up to ``until``."""

    duty: UUID
    rhythm: Rhythm
    opens_before: timedelta
    late_after: timedelta
    goes_after: UUID | None
    since: datetime
    until: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Occurrence:
    """One turn of a duty; ``goes_after`` is the turn of another duty that comes first."""

    id: UUID
    duty: UUID
    opens_at: datetime
    due_at: datetime
    late_at: datetime
    goes_after: UUID | None


def occurrences(duties: Iterable[Recurring], zone: tzinfo) -> Iterator[Occurrence]:
    """Yield every turn of every duty; of turns that go after others, the link is by the day."""
    known = {one.duty: one for one in duties}
    for one in known.values():
        for turn in turns(one.rhythm, zone, since=one.since, until=one.until):
            yield Occurrence(
                id=turn_id(one.duty, turn),
                duty=one.duty,
                opens_at=turn.at - one.opens_before,
                due_at=turn.at,
                late_at=turn.at + one.late_after,
                goes_after=_first(one.goes_after, turn, known, zone),
            )


def turn_id(duty: UUID, turn: Turn) -> UUID:
    """The same turn is the same task, however often it is raised."""
    return uuid5(duty, turn.wall.isoformat(timespec="minutes"))


def _first(
    duty: UUID | None, turn: Turn, known: Mapping[UUID, Recurring], zone: tzinfo
) -> UUID | None:
    """The latest turn of ``duty`` that day up to this one, else its first of the day."""
    if duty is None or duty not in known:
        return None
    begin, end = _day(turn.wall.date(), zone)
    that_day = list(turns(known[duty].rhythm, zone, since=begin, until=end))
    before = [each for each in that_day if each.at <= turn.at]
    chosen = before[-1] if before else next(iter(that_day), None)
    return turn_id(duty, chosen) if chosen else None


def _day(day: date, zone: tzinfo) -> tuple[datetime, datetime]:
    """Just before the day's first moment, and its last."""
    begin, end = (
        datetime(each.year, each.month, each.day, tzinfo=zone)
        for each in (day, day + timedelta(days=1))
    )
    return begin - timedelta.resolution, end - timedelta.resolution
