"""Out of range, inside, or not to be told: which opens and which ends. Worked out by hand."""

from datetime import timedelta
from uuid import UUID, uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tanks.rules.corrective_actions import ACTIONS, said, usual, window
from tanks.rules.exceedances import (
    OUT,
    UNDECIDED,
    WITHIN,
    Look,
    exceedances,
    retested_by,
    still_open,
)
from tanks.rules.limits import NAMES, UNIONISED, Finding
from tanks.rules.readings_told import spread
from tanks.rules.values import Interval
from tests.cast import NOON

TANK = UUID(int=1)
_LEVELS = {OUT: 2, WITHIN: 0, UNDECIDED: 3}


def look(state: str, hours: float, *, parameter: str = "NITRITE", times_over: float = 0) -> Look:
    finding = Finding(
        level=_LEVELS[state], parameter=parameter, sentence=state, times_over=times_over
    )
    return Look(
        parameter=parameter,
        at=NOON + timedelta(hours=hours),
        reading=uuid4(),
        vessel=TANK,
        text=state,
        by="Ana",
        finding=finding,
    )


def test_the_first_reading_inside_ends_it_and_the_next_outside_opens_another() -> None:
    looks = [look(state, n) for n, state in enumerate([WITHIN, OUT, OUT, WITHIN, WITHIN, OUT])]

    first, second = exceedances(looks)

    assert (first.looks, first.passed) == (tuple(looks[1:3]), looks[3])
    assert (second.looks, second.passed) == ((looks[5],), None)
    assert still_open([first, second]) == [second]


def test_what_cannot_be_told_neither_opens_nor_ends() -> None:
    unsure = look(UNDECIDED, 0)
    assert exceedances([unsure]) == []

    (one,) = exceedances([look(OUT, 1), look(UNDECIDED, 2)])

    assert one.passed is None
    assert one.unsure is not None
    assert one.unsure.at == NOON + timedelta(hours=2)


def test_parameters_do_not_end_one_another() -> None:
    looks = [look(OUT, 0), look(OUT, 0, parameter="PH"), look(WITHIN, 1, parameter="PH")]

    assert [one.parameter for one in still_open(exceedances(looks))] == ["NITRITE"]


def test_what_was_open_before_goes_on() -> None:
    before = exceedances([look(OUT, -50)])

    (one,) = exceedances([look(OUT, 0), look(WITHIN, 2)], before)

    assert len(one.looks) == 2
    assert one.first.at == NOON - timedelta(hours=50)


def test_the_worst_is_the_furthest_beyond() -> None:
    looks = [look(OUT, n, times_over=times) for n, times in enumerate((1.5, 4, 2))]

    (one,) = exceedances(looks)

    assert one.worst is looks[1]


@given(states=st.lists(st.sampled_from([OUT, WITHIN, UNDECIDED]), max_size=20))
def test_it_is_open_exactly_when_the_last_that_can_be_told_is_out(states: list[str]) -> None:
    found = exceedances(look(state, n) for n, state in enumerate(states))
    told = [state for state in states if state != UNDECIDED]

    assert bool(still_open(found)) is (told[-1:] == [OUT])
    assert sum(len(one.looks) for one in found) == states.count(OUT)


def test_ammonia_is_read_again_by_tan_and_ph() -> None:
    assert retested_by([UNIONISED, "NITRITE", "TAN"]) == ["TAN", "NITRITE", "PH"]


@pytest.mark.parametrize("parameter", NAMES)
def test_every_parameter_has_acts_and_the_last_is_in_ones_own_words(parameter: str) -> None:
    codes = [code for code, _ in usual(parameter)]

    assert len(set(codes)) == len(codes) >= 4
    assert codes[-1] == "other"
    assert ACTIONS.keys() >= set(codes)


def test_what_must_be_done_now_is_read_again_sooner() -> None:
    """Two hours and a day: common practice, no source."""
    assert window(1).due_after < window(2).due_after
    assert said("water-change", "60 L") == "Changed water: 60 L"
    assert said("fed-nothing", "") == "Stopped feeding"


@pytest.mark.parametrize(
    ("values", "told"),
    [
        ([(0.5, 0.5)], ("0.5", "0.5", "0.5")),
        ([(3.0, 3.0), (1.0, 1.0), (2.0, 2.0)], ("1", "2", "3")),
        ([(1.0, 1.0), (2.0, 2.0), (4.0, 4.0), (9.0, 9.0)], ("1", "3", "9")),
        # Below 0.25 stays a bound: the median of two lies from it to the other.
        ([(0.0, 0.25), (0.5, 0.5)], ("below 0.25", "below 0.5", "0.5")),
        ([(1.0, 1.0), (5.0, None)], ("1", "above 1", "above 5")),
        ([(10.0, 20.0), (10.0, 20.0), (30.0, 30.0)], ("10 to 20", "10 to 20", "30")),
    ],
)
def test_readings_are_told_by_least_middle_and_greatest(
    values: list[tuple[float, float | None]], told: tuple[str, str, str]
) -> None:
    found = spread(Interval(low, high) for low, high in values)

    assert (found.least, found.median, found.greatest) == told
    assert found.count == len(values)
