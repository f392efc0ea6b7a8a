"""Feed in a newly stocked water: 10-25 %, then 25, 50, 75, 100 %, at three clean days or more.

Common practice, no source.
"""

import itertools
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from quarantine.rules.ramping import Planned, ladder, loads, percent_on, rungs

MONDAY = date(2026, 3, 30)
DAY = timedelta(days=1)


def clean(*numbers: int) -> dict[date, bool | None]:
    return {MONDAY + number * DAY: True for number in numbers}


def told(days: dict[date, bool | None], *, today: int, first: int = 25) -> list[tuple[int, int]]:
    """Each share with the day it is allowed from, counted from the first."""
    found = rungs(
        days, stocked_on=MONDAY, today=MONDAY + today * DAY, first_percent=first, clean_days=3
    )
    return [(rung.percent, (rung.since - MONDAY).days) for rung in found]


def test_on_clean_days_alone_a_water_is_at_full_feed_after_nine() -> None:
    assert told(clean(*range(9)), today=9) == [(25, 0), (50, 3), (75, 6), (100, 9)]


def test_what_is_to_come_is_told_at_the_earliest() -> None:
    assert told({}, today=0) == [(25, 0), (50, 4), (75, 7), (100, 10)]
    assert told(clean(0, 1), today=1) == [(25, 0), (50, 3), (75, 6), (100, 9)]


def test_a_day_not_read_or_not_clean_begins_the_count_anew() -> None:
    unread = clean(0, 1, 3, 4, 5)
    dirty: dict[date, bool | None] = clean(0, 1, 3, 4, 5) | {MONDAY + 2 * DAY: False}

    assert told(unread, today=5)[1] == (50, 6)
    assert told(dirty, today=5)[1] == (50, 6)


def test_a_house_may_begin_lower() -> None:
    assert ladder(10) == [10, 25, 50, 75, 100]
    assert ladder(25) == [25, 50, 75, 100]
    assert told(clean(*range(12)), today=12, first=10)[-1] == (100, 12)


@given(
    st.dictionaries(st.integers(0, 40), st.sampled_from([True, False, None])), st.integers(0, 40)
)
def test_each_step_takes_three_days_or_more(days: dict[int, bool | None], today: int) -> None:
    found = told({MONDAY + number * DAY: held for number, held in days.items()}, today=today)

    assert [percent for percent, _ in found] == [25, 50, 75, 100]
    assert all(late - early >= 3 for (_, early), (_, late) in itertools.pairwise(found))


def test_planned_entries_add_up_against_what_may_be_fed_that_day() -> None:
    known = rungs({}, stocked_on=MONDAY, today=MONDAY, first_percent=25, clean_days=3)
    planned = [
        Planned(on=MONDAY + 4 * DAY, feed_g_per_day=6, told="rasbora"),
        Planned(on=MONDAY, feed_g_per_day=4, told="danio"),
        Planned(on=MONDAY + 5 * DAY, feed_g_per_day=1, told="loach"),
    ]

    found = list(loads(planned, known, present_g_per_day=0, certified_g_per_day=20))

    assert [(one.feed_g_per_day, one.allowed_g_per_day, one.fits) for one in found] == [
        (4, 5, True),
        (10, 10, True),
        (11, 10, False),
    ]
    assert percent_on(MONDAY - DAY, known) == 0
