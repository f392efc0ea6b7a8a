"""The tabular sum against a textbook's table: Montgomery & Runger, Table 16-8 (found)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.domain import OutOfRange
from chemistry.drift import cumulative

# fmt: off
READINGS = (
    102.0, 94.8, 98.3, 98.4, 102.0, 98.5, 99.0, 97.7, 100.0, 98.1,
    101.3, 98.7, 101.1, 98.4, 97.0, 96.7, 100.3, 101.4, 97.2, 101.0,
)
# fmt: on
UPPER = (2.0, 0, 0, 0, 2.0, 0.5, 0, 0, 0, 0, 1.3, 0, 1.1, 0, 0, 0, 0.3, 1.7, 0, 1.0)
LOWER = (0, 3.2, 2.9, 2.5, 0, 0, 0, 0.3, 0, 0, 0, 0, 0, 0, 1.0, 2.3, 0, 0, 0.8, 0)


def test_the_textbook_sums_are_found_and_no_drift() -> None:
    # Target 99, K = 1, H = 10.
    drift = cumulative(READINGS, target=99.0, standard_deviation=2.0)

    assert [one.upper for one in drift.sums] == pytest.approx(UPPER, abs=1e-9)
    assert [one.lower for one in drift.sums] == pytest.approx(LOWER, abs=1e-9)
    assert drift.decision == 10.0
    assert drift.beyond == ()


def test_a_sum_above_zero_has_an_age_of_at_least_one() -> None:
    # A copy of the table prints 0 for reading 20, whose upper sum is 1.0; the definition gives 1.
    last = cumulative(READINGS, target=99.0, standard_deviation=2.0).sums[-1]

    assert last.upper == pytest.approx(1.0)
    assert (last.upper_age, last.lower_age) == (1, 0)


def test_a_shift_of_one_deviation_is_found_where_no_reading_stands_out() -> None:
    shifted = cumulative((0.0,) * 5 + (1.0,) * 12, target=0.0, standard_deviation=1.0)

    # Half a deviation a reading: past 5 at the eleventh, whose sum is 5.5.
    assert shifted.beyond == (15, 16)
    assert shifted.sums[15].upper == pytest.approx(5.5)
    assert shifted.sums[15].upper_age == 11


@given(readings=st.lists(st.floats(-100.0, 100.0), min_size=1, max_size=40))
def test_a_mirrored_series_mirrors_its_sums(readings: list[float]) -> None:
    up = cumulative(readings, target=0.0, standard_deviation=1.0)
    down = cumulative([-reading for reading in readings], target=0.0, standard_deviation=1.0)

    assert [one.upper for one in up.sums] == [one.lower for one in down.sums]
    assert up.beyond == down.beyond


def test_nothing_drifts_without_a_scatter_to_measure_it_by() -> None:
    with pytest.raises(OutOfRange, match="standard deviation"):
        cumulative((1.0,), target=1.0, standard_deviation=0.0)
