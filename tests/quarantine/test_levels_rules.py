"""Concentration over time: arithmetic of trade practice, and what must hold of any history."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quarantine.rules.levels import Changed, Event, Given, Read, curve, level_at, redose

START = datetime(2026, 5, 1, 9, tzinfo=UTC)
DAY = timedelta(days=1)


def test_three_changes_of_a_third_leave_a_third() -> None:
    """Trade practice: three 30 % changes without a redose leave 34 %."""
    events: list[Event] = [Given(at=START, rise=1.0)]
    events += [Changed(at=START + n * DAY, share=0.3) for n in (1, 2, 3)]
    assert level_at(events, at=START + 4 * DAY, half_life_h=None).middle == pytest.approx(0.343)


def test_the_full_dose_after_each_third_changed_climbs_to_three_and_a_third() -> None:
    """Trade practice: 170 % after one, 219 %, 253 %, with a limit of 333 %."""
    events: list[Event] = [Given(at=START, rise=1.0)]
    reached = []
    for day in range(1, 40):
        events += [Changed(at=START + day * DAY, share=0.3), Given(at=START + day * DAY, rise=1.0)]
        reached.append(level_at(events, at=START + day * DAY, half_life_h=None).middle)
    assert reached[:3] == [pytest.approx(1.7), pytest.approx(2.19), pytest.approx(2.533)]
    assert reached[-1] == pytest.approx(1 / 0.3, rel=1e-4)


def test_what_the_change_took_is_the_target_times_the_share() -> None:
    assert redose(target=0.18, share=0.3) == pytest.approx(0.054)


def test_a_half_life_halves() -> None:
    events = [Given(at=START, rise=10.0)]
    assert level_at(events, at=START + DAY, half_life_h=24).middle == pytest.approx(5.0)


def test_a_reading_replaces_what_was_reckoned_and_stays_a_bracket() -> None:
    events: list[Event] = [
        Given(at=START, rise=0.2),
        Read(at=START + DAY, low=0.1, high=0.15),
        Given(at=START + DAY * 2, rise=0.05),
    ]
    level = level_at(events, at=START + DAY * 3, half_life_h=None)
    assert level.low == pytest.approx(0.15)
    assert level.high == pytest.approx(0.2)


def test_what_happens_later_says_nothing_of_before() -> None:
    events = [Given(at=START + DAY, rise=1.0)]
    assert level_at(events, at=START, half_life_h=None).high == 0.0


HISTORIES = st.lists(
    st.one_of(
        st.builds(
            lambda hours, rise: Given(at=START + timedelta(hours=hours), rise=rise),
            st.integers(0, 500),
            st.floats(0.001, 5),
        ),
        st.builds(
            lambda hours, share: Changed(at=START + timedelta(hours=hours), share=share),
            st.integers(0, 500),
            st.floats(0, 1),
        ),
    ),
    max_size=20,
)


@given(HISTORIES, st.one_of(st.none(), st.floats(1, 500)))
def test_no_history_makes_more_than_was_given(
    events: list[Event], half_life_h: float | None
) -> None:
    given_in_all = sum(one.rise for one in events if isinstance(one, Given))
    for level in curve(
        events, since=START, until=START + 30 * DAY, half_life_h=half_life_h, points=10
    ):
        assert 0 <= level.low <= level.high <= given_in_all * (1 + 1e-9)
