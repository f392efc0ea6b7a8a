"""Agreement of results and recovery of a known amount: hand sums, exact by definition."""

import numpy as np
import pytest
from scipy import stats

from chemistry.domain import OutOfRange
from chemistry.quality import recovery, relative_difference, step_uncertainty, zeta


def test_duplicates_differ_by_their_gap_over_their_mean() -> None:
    assert relative_difference(first=0.9, second=1.1) == pytest.approx(0.2)
    assert relative_difference(first=np.array([0.0]), second=np.array([3.0])) == pytest.approx(2.0)


def test_two_results_are_compared_in_units_of_their_joint_doubt() -> None:
    # 3-4-5 triangle.
    assert zeta(first=2.0, second=1.0, first_doubt=0.3, second_doubt=0.4) == pytest.approx(2.0)


def test_a_spike_is_found_again_with_the_sample_diluted() -> None:
    # 95 mL at 1 mg/L and 5 mL at 100 mg/L: 595 mg·mL/L in 100 mL is 5.95 mg/L.
    assert recovery(
        unspiked=1.0, spiked=5.95, sample_l=0.095, standard_l=0.005, standard=100.0
    ) == pytest.approx(1.0)


def test_reading_to_a_step_is_a_uniform_error() -> None:
    assert step_uncertainty(step=0.25) == pytest.approx(stats.uniform(-0.125, 0.25).std())


@pytest.mark.parametrize(("first", "second"), [(0.0, 0.0), (-1.0, 2.0)])
def test_nothing_and_less_than_nothing_have_no_relative_difference(
    first: float, second: float
) -> None:
    with pytest.raises(OutOfRange):
        relative_difference(first=first, second=second)


def test_two_results_without_any_doubt_cannot_be_compared() -> None:
    with pytest.raises(OutOfRange):
        zeta(first=1.0, second=2.0, first_doubt=0.0, second_doubt=0.0)


def test_no_standard_no_recovery() -> None:
    with pytest.raises(OutOfRange):
        recovery(unspiked=1.0, spiked=2.0, sample_l=0.1, standard_l=0.01, standard=0.0)
