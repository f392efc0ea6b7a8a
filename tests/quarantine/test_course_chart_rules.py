"""A course as a picture: everything lies inside, time runs right, more lies higher."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quarantine.rules.course_chart import HEIGHT_PX, WIDTH_PX, Chart, Point, chart

SINCE = datetime(2026, 5, 1, 9, tzinfo=UTC)
DAY = timedelta(days=1)


def drawn(reads: list[tuple[float, float]], *, days: float = 14) -> Chart:
    points = [Point(at=SINCE + DAY * day, low=level, high=level) for day, level in reads]
    return chart(
        since=SINCE,
        until=SINCE + DAY * days,
        levels=points,
        reads=points,
        doses=[Point(at=SINCE, low=0, high=0, told="First dose")],
        window=(0.15, 0.20),
    )


def test_what_is_in_the_window_lies_in_its_band() -> None:
    shown = drawn([(0, 0.10), (7, 0.17), (14, 0.21)])
    assert shown.window_top_px is not None
    below, inside, above = (mark.y_px for mark in shown.reads)
    bottom = shown.window_top_px + shown.window_height_px
    assert above < shown.window_top_px < inside < bottom < below
    assert [mark.x_px for mark in shown.reads] == sorted(mark.x_px for mark in shown.reads)


def test_the_axis_names_days_and_levels() -> None:
    shown = drawn([(0, 0.10), (14, 0.21)])
    assert [tick.label for tick in shown.across] == ["day 0", "2", "4", "6", "8", "10", "12", "14"]
    assert [tick.label for tick in shown.up] == ["0", "0.05", "0.1", "0.15", "0.2"]


@given(
    st.lists(st.tuples(st.floats(0, 30), st.floats(0, 500)), min_size=1, max_size=30),
    st.floats(0, 30),
)
def test_nothing_is_drawn_outside(reads: list[tuple[float, float]], days: float) -> None:
    shown = drawn(reads, days=days)
    for mark in (*shown.reads, *shown.doses):
        assert 0 <= mark.x_px <= WIDTH_PX
        assert 0 <= mark.y_px <= mark.y_end_px <= HEIGHT_PX
    assert len(shown.across) <= 8
    assert 1 <= len(shown.up) <= 12


def test_a_course_of_this_minute_has_a_width() -> None:
    assert drawn([(0, 0.0)], days=0).across[0].label == "day 0"
    assert drawn([(0, 0.0)], days=0).reads[0].x_px == pytest.approx(44)
