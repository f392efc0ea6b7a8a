"""Weeks and months by the clock on the wall, over clock changes and ends of months."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from facility.rules.periods import KINDS, Period, due, past, period_of, spelled

LISBON, TOKYO, CHICAGO = (
    ZoneInfo(name) for name in ("Europe/Lisbon", "Asia/Tokyo", "America/Chicago")
)
DAWN = datetime(2000, 1, 1, tzinfo=UTC)


@pytest.mark.parametrize(
    ("kind", "day", "begins_on", "ends_on"),
    [
        ("WEEK", date(2026, 11, 25), date(2026, 11, 23), date(2026, 11, 29)),
        ("WEEK", date(2026, 11, 23), date(2026, 11, 23), date(2026, 11, 29)),
        ("WEEK", date(2027, 1, 1), date(2026, 12, 28), date(2027, 1, 3)),
        ("MONTH", date(2028, 2, 29), date(2028, 2, 1), date(2028, 2, 29)),
        ("MONTH", date(2026, 12, 31), date(2026, 12, 1), date(2026, 12, 31)),
    ],
)
def test_a_day_lies_in_its_week_and_month(
    kind: str, day: date, begins_on: date, ends_on: date
) -> None:
    """Days of the week from ISO 8601: 25 November 2026 is a Wednesday."""
    assert period_of(kind, day) == Period(kind=kind, begins_on=begins_on, ends_on=ends_on)


@given(day=st.dates(date(1990, 1, 1), date(2100, 1, 1)), kind=st.sampled_from(KINDS))
def test_periods_follow_one_another_without_a_gap(day: date, kind: str) -> None:
    period = period_of(kind, day)

    assert period.begins_on <= day <= period.ends_on
    assert period_of(kind, period.next_on).begins_on == period.next_on
    assert period_of(kind, period.ends_on) == period


@pytest.mark.parametrize(
    ("day", "hours"),
    [(date(2026, 3, 29), 167), (date(2026, 10, 25), 169), (date(2026, 6, 3), 168)],
)
def test_a_week_is_an_hour_shorter_or_longer_when_the_clocks_change(day: date, hours: int) -> None:
    """In the European Union on the last Sundays of March and October (Directive 2000/84/EC)."""
    begin, end = period_of("WEEK", day).span(LISBON)

    assert end.astimezone(UTC) - begin.astimezone(UTC) == timedelta(hours=hours)


@pytest.mark.parametrize(
    ("kind", "zone", "moment", "is_due"),
    [
        ("WEEK", LISBON, "2026-03-30T01:59Z", False),  # 02:59 there, summer time since Sunday
        ("WEEK", LISBON, "2026-03-30T02:00Z", True),
        ("WEEK", TOKYO, "2026-03-29T17:59Z", False),
        ("WEEK", TOKYO, "2026-03-29T18:00Z", True),
        ("MONTH", CHICAGO, "2026-11-01T09:29Z", False),  # 03:29 there, winter time since 02:00
        ("MONTH", CHICAGO, "2026-11-01T09:30Z", True),
        ("MONTH", CHICAGO, "2026-12-01T09:30Z", True),
    ],
)
def test_it_is_due_by_the_clock_of_the_site(
    kind: str, zone: ZoneInfo, moment: str, *, is_due: bool
) -> None:
    """In the United States the clocks go back on the first Sunday of November (15 USC 260a)."""
    at = datetime.fromisoformat(moment)
    latest = next(past(kind, at=at, zone=zone, count=1))

    assert (latest in due(kind, since=DAWN, at=at, zone=zone)) is is_due


def test_what_was_missed_is_due_still_but_not_from_before_the_site_was() -> None:
    at = datetime(2026, 11, 25, 12, tzinfo=UTC)

    weeks = due("WEEK", since=datetime(2026, 11, 3, tzinfo=UTC), at=at, zone=LISBON)

    assert [week.begins_on.day for week in weeks] == [2, 9, 16]
    assert len(due("WEEK", since=DAWN, at=at, zone=LISBON)) == 8
    assert [month.begins_on.month for month in due("MONTH", since=DAWN, at=at, zone=LISBON)] == [
        8,
        9,
        10,
    ]


@pytest.mark.parametrize(
    ("kind", "day", "words"),
    [
        ("WEEK", date(2026, 11, 25), "23 to 29 November 2026"),
        ("WEEK", date(2026, 12, 1), "30 November to 6 December 2026"),
        ("WEEK", date(2027, 1, 1), "28 December 2026 to 3 January 2027"),
        ("MONTH", date(2026, 11, 25), "November 2026"),
    ],
)
def test_a_period_is_spelled_as_people_say_it(kind: str, day: date, words: str) -> None:
    assert spelled(period_of(kind, day)) == words
