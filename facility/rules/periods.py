"""Weeks and months that reports are kept of, by the clock on the site's wall. Pure."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo
from typing import Final

WEEK: Final = "WEEK"
MONTH: Final = "MONTH"
KINDS: Final = (WEEK, MONTH)
# When the report of a period that is over is kept, on the day after its last.
KEPT_AT: Final = {WEEK: time(3), MONTH: time(3, 30)}
# What the house missed while it was down is kept later, this many periods back at most.
LOOKS_BACK: Final = {WEEK: 8, MONTH: 3}
_DAY: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """A week from Monday to Sunday, or a month; both days belong to it."""

    kind: str
    begins_on: date
    ends_on: date

    @property
    def next_on(self) -> date:
        return self.ends_on + _DAY

    def span(self, zone: tzinfo) -> tuple[datetime, datetime]:
        """Its first moment and that of the next period: longer or shorter by a clock change."""
        begin, end = (
            datetime.combine(day, time.min, tzinfo=zone) for day in (self.begins_on, self.next_on)
        )
        return begin, end

    def is_over(self, *, at: datetime, zone: tzinfo) -> bool:
        return at >= self.span(zone)[1]


def period_of(kind: str, day: date) -> Period:
    """Return the week or month that ``day`` belongs to."""
    begins_on = _BEGINNINGS[kind](day)
    later = begins_on + (7 if kind == WEEK else 31) * _DAY
    return Period(kind=kind, begins_on=begins_on, ends_on=_BEGINNINGS[kind](later) - _DAY)


def past(kind: str, *, at: datetime, zone: tzinfo, count: int) -> Iterator[Period]:
    """Yield the latest periods that are over, the latest first."""
    period = period_of(kind, at.astimezone(zone).date())
    for _ in range(count):
        period = period_of(kind, period.begins_on - _DAY)
        yield period


def due(kind: str, *, since: datetime, at: datetime, zone: tzinfo) -> list[Period]:
    """Periods whose report should be kept by ``at``, oldest first; none that ended by ``since``."""
    found = past(kind, at=at, zone=zone, count=LOOKS_BACK[kind])
    return sorted(
        (one for one in found if one.span(zone)[1] > since and at >= _kept_at(one, zone)),
        key=lambda one: one.begins_on,
    )


def spelled(period: Period) -> str:
    """``16 to 22 November 2026``, ``November 2026``."""
    first, last = period.begins_on, period.ends_on
    if period.kind == MONTH:
        return f"{first:%B} {first.year}"
    if first.month == last.month:
        return f"{first.day} to {last.day} {last:%B} {last.year}"
    year = "" if first.year == last.year else f" {first.year}"
    return f"{first.day} {first:%B}{year} to {last.day} {last:%B} {last.year}"


def _monday(day: date) -> date:
    return day - day.weekday() * _DAY


def _first(day: date) -> date:
    return day.replace(day=1)


def _kept_at(period: Period, zone: tzinfo) -> datetime:
    return datetime.combine(period.next_on, KEPT_AT[period.kind], tzinfo=zone)


_BEGINNINGS: Final[dict[str, Callable[[date], date]]] = {WEEK: _monday, MONTH: _first}
