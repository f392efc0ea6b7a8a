"""The clock of a course: two readings in the window start it, the window broken stops it.

Day 1 is the second of two readings in a row inside; then 14 days: hobby magazine 2009, quoted by
trade practice. Whether a missed window pauses or sets back is the site's policy.
"""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quarantine.rules.therapeutic import Read, Standing, Terms, clock, where

START = datetime(2026, 5, 1, 9, tzinfo=UTC)
HOUR = timedelta(hours=1)
DAY = timedelta(days=1)
COPPER = Terms(low=0.15, high=0.20, days=14, readings_in_row=2, resets=False, longest_gap_h=36)
RESETS = Terms(low=0.15, high=0.20, days=14, readings_in_row=2, resets=True, longest_gap_h=36)


def at(hours: float, level: float, high: float | None = None) -> Read:
    moment = START + timedelta(hours=hours)
    return Read(at=moment, low=level, high=level if high is None else high)


def stands(*reads: Read, terms: Terms = COPPER, hours: float | None = None) -> Standing:
    moment = max(read.at for read in reads) if hours is None else START + timedelta(hours=hours)
    return clock(reads, terms, at=moment)


@pytest.mark.parametrize(
    ("read", "place"),
    [
        (at(0, 0.12), "below"),
        (at(0, 0.15), "inside"),
        (at(0, 0.20), "inside"),
        (at(0, 0.21), "above"),
        (at(0, 0.10, 0.15), "below"),
        (at(0, 0.14, 0.16), "unsure"),
        (at(0, 0.0, 0.05), "below"),
        (at(0, 0.18, 0.25), "unsure"),
    ],
)
def test_where_a_reading_lies(read: Read, place: str) -> None:
    assert where(read, COPPER) == place


def test_one_reading_inside_does_not_start_the_clock_and_the_second_is_its_zero() -> None:
    first = stands(at(0, 0.16))
    second = stands(at(0, 0.16), at(12, 0.17))
    assert (first.state, first.in_row) == ("not begun", 1)
    assert (second.state, second.started_at) == ("running", START + 12 * HOUR)
    assert second.counted == timedelta()


def test_two_that_are_not_in_a_row_do_not_start_it() -> None:
    assert stands(at(0, 0.16), at(6, 0.12), at(12, 0.17)).state == "not begun"


def test_fourteen_days_of_daily_readings_reach_the_end() -> None:
    reads = [at(0, 0.16), *(at(12 + 24 * day, 0.17) for day in range(15))]
    assert stands(*reads[:-1]).state == "running"
    assert stands(*reads).reached_at == START + 12 * HOUR + 14 * DAY


def test_a_missed_window_pauses_at_the_reading_before_and_goes_on_with_the_next_inside() -> None:
    reads = [at(0, 0.16), at(12, 0.17), at(36, 0.17), at(60, 0.12)]
    paused = stands(*reads)
    assert paused.state == "paused"
    assert paused.days == pytest.approx(1.0)

    on = stands(*reads, at(66, 0.16), at(90, 0.16))
    assert on.state == "running"
    assert on.days == pytest.approx(2.0)
    assert on.started_at == START + 12 * HOUR
    assert [one.what for one in on.events] == ["started", "paused", "went on"]


def test_where_policy_says_so_it_is_set_back_and_two_in_a_row_are_asked_for_again() -> None:
    reads = [at(0, 0.16), at(12, 0.17), at(36, 0.17), at(60, 0.25)]
    back = stands(*reads, terms=RESETS)
    assert (back.state, back.days, back.started_at) == ("not begun", 0.0, None)
    assert stands(*reads, at(66, 0.16), terms=RESETS).state == "not begun"
    again = stands(*reads, at(66, 0.16), at(78, 0.16), terms=RESETS)
    assert again.started_at == START + 78 * HOUR


def test_time_nobody_tested_for_too_long_does_not_count() -> None:
    gap = stands(at(0, 0.16), at(12, 0.17), at(12 + 37, 0.17), at(12 + 37 + 24, 0.17))
    assert gap.days == pytest.approx(1.0)
    assert "gap" in [one.what for one in gap.events]


def test_a_clock_not_read_for_too_long_stands_still() -> None:
    reads = [at(0, 0.16), at(12, 0.17)]
    assert stands(*reads, hours=12 + 36).state == "running"
    assert stands(*reads, hours=12 + 36.5).state == "paused"


HISTORIES = st.lists(st.tuples(st.integers(0, 600), st.floats(0.05, 0.3)), max_size=30)


@given(HISTORIES, st.sampled_from([COPPER, RESETS]), st.integers(0, 500))
def test_waiting_alone_never_adds_time(
    history: list[tuple[int, float]], terms: Terms, later_h: int
) -> None:
    reads = [at(hours, level) for hours, level in history]
    end = START + timedelta(hours=600)
    assert (
        clock(reads, terms, at=end + later_h * HOUR).counted == clock(reads, terms, at=end).counted
    )


@given(HISTORIES)
def test_setting_back_never_counts_more_than_pausing(history: list[tuple[int, float]]) -> None:
    reads = [at(hours, level) for hours, level in history]
    end = START + timedelta(hours=700)
    assert clock(reads, RESETS, at=end).counted <= clock(reads, COPPER, at=end).counted
