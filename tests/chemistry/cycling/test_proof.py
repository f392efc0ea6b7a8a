"""When a water became ready, from its daily scores, against the definition read out plainly."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.cycling import ReadyDefinition
from chemistry.cycling.proof import Proof, days_sustained


def _began(daily: list[float], *, sustained: int = 1) -> float:
    """Return the day on which a column became ready; infinite if it has not."""
    proof = Proof.none_yet(1)
    for day, score in enumerate(daily):
        proof = proof.after(np.array([score]), day=day, sustained=sustained)
    return float(proof.began[0]) if proof.is_ready[0] else np.inf


def test_time_between_two_daily_challenges_is_where_the_score_crosses_zero() -> None:
    assert _began([2.0, 1.0, -1.0, -2.0]) == pytest.approx(1.5)


def test_pass_that_is_not_repeated_a_day_later_does_not_count() -> None:
    assert _began([1.0, -1.0, 1.0, -1.0, -1.0]) == pytest.approx(2.5)


def test_pass_from_the_first_day_is_ready_at_once() -> None:
    assert _began([-1.0, -1.0]) == 0.0


def test_what_happens_after_it_was_ready_takes_nothing_back() -> None:
    assert _began([1.0, -1.0, -1.0, 3.0, -1.0, -1.0]) == pytest.approx(0.5)


def test_a_day_and_an_hour_sustained_ask_for_two_more_challenges() -> None:
    assert days_sustained(ReadyDefinition(sustained_h=25.0)) == 2
    assert days_sustained(ReadyDefinition(sustained_h=0.0)) == 0


@given(
    daily=st.lists(st.sampled_from([-2.0, -0.5, 0.0, 0.5, 2.0]), min_size=1, max_size=12),
    sustained=st.integers(0, 3),
)
def test_first_row_of_passes_long_enough_is_dated_to_its_crossing(
    daily: list[float], sustained: int
) -> None:
    firsts = [
        day
        for day in range(len(daily) - sustained)
        if all(score <= 0.0 for score in daily[day : day + sustained + 1])
    ]
    expected = np.inf
    if firsts:
        first = firsts[0]
        before = daily[first - 1] if first else 0.0
        expected = first - 1 + before / (before - daily[first]) if first else 0.0

    assert _began(daily, sustained=sustained) == pytest.approx(expected)
