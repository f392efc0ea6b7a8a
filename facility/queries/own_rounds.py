"""One person's round: each stop where it stands, when it is meant to begin, where it is done."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from facility.models import Person, Round, Shift, Site
from facility.queries.rounds import (
    in_force,
    midnight,
    piece_of,
    round_of,
    rounds_ahead,
    spans_of,
    stands_of,
    stops_of,
)
from facility.queries.shifts import hands_on
from facility.queries.task_pages import page_of
from facility.queries.work import TaskNow
from facility.rules.assignment import Hand, follow


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundStop:
    """``page`` is where the work is recorded; empty where a word is enough."""

    one: TaskNow
    begins_at: datetime
    ends_at: datetime
    has_break: bool
    fits: bool
    page: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnRound:
    site: Site
    person: Person
    on: date
    row: Round
    stops: tuple[RoundStop, ...]

    @property
    def open_stops(self) -> int:
        return sum(stop.one.answer is None for stop in self.stops)

    @property
    def next(self) -> RoundStop | None:
        return next((stop for stop in self.stops if stop.one.answer is None), None)

    @property
    def minutes(self) -> int:
        return sum(stop.one.task.minutes for stop in self.stops)


def own_round(person: Person, site: Site, on: date, *, at: datetime) -> OwnRound | None:
    """The person's round of the day in force; None before one is drawn up."""
    row = round_of(person, site, on)
    return _rounds(site, [row], at=at)[0] if row else None


def everybodys(site: Site, on: date, *, at: datetime) -> list[OwnRound]:
    """All rounds of the day in force that hold something, by name."""
    rows = [row for row in in_force(site, on).values() if row.stops]
    return _rounds(site, sorted(rows, key=lambda row: (row.person.full_name, row.pk)), at=at)


def around(
    person: Person, site: Site, on: date, *, at: datetime, before: timedelta, after: timedelta
) -> list[OwnRound]:
    """The person's rounds of the days around one."""
    rows = rounds_ahead(person, site, since=on - before, until=on + after)
    return _rounds(site, rows, at=at)


def _rounds(site: Site, rows: Iterable[Round], *, at: datetime) -> list[OwnRound]:
    rows = list(rows)
    tasks = stops_of(rows, at=at)
    stands = stands_of(site)
    shifts = {on: hands_on(site, on) for on in {row.on for row in rows}}
    return [
        OwnRound(
            site=site,
            person=row.person,
            on=row.on,
            row=row,
            stops=tuple(
                _stops(row, [tasks[stop["task"]] for stop in row.stops], shifts[row.on], stands)
            ),
        )
        for row in rows
    ]


def _stops(
    row: Round, told: list[TaskNow], shifts: Iterable[Shift], stands: Mapping[UUID, int]
) -> list[RoundStop]:
    site, begin = row.site, midnight(row.site, row.on)
    held = [shift for shift in shifts if shift.person_id == row.person_id]
    by_key = {str(one.task.pk): one for one in told}
    pieces = [piece_of(one, by_key, stands, begin) for one in told]
    hand = Hand(key=str(row.person_id), spans=spans_of(held, begin))
    return [
        RoundStop(
            one=by_key[stop.piece.key],
            begins_at=(begin + timedelta(minutes=stop.begins_min)).astimezone(site.zone),
            ends_at=(begin + timedelta(minutes=stop.ends_min)).astimezone(site.zone),
            has_break=stop.has_break,
            fits=stop.fits,
            page=page_of(by_key[stop.piece.key].task),
        )
        for stop in follow(hand, pieces)
    ]
