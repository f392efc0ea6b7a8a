"""The method detection limit; 40 CFR 136 App. B, its t values, and scipy for its confidence."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.detection import blank_limit, confidence_factors, detection_limit
from chemistry.domain import OutOfRange

SEVEN = (0.11, 0.09, 0.10, 0.12, 0.08, 0.10, 0.11)


def test_seven_spiked_samples_give_t_times_their_scatter() -> None:
    found = detection_limit(spiked=SEVEN)

    # Computed with scipy: s 0.01345, limit 0.0423, mean 0.1014.
    assert found.standard_deviation == pytest.approx(0.01345, abs=5e-6)
    assert found.limit == pytest.approx(0.0423, abs=5e-5)
    assert found.mean == pytest.approx(0.1014, abs=5e-5)
    assert found.student_t == pytest.approx(3.143, abs=5e-4)


def test_the_confidence_factors_are_the_95_percent_ones() -> None:
    # EPA prints 0.64 and 2.20 (memory); a state copy prints the 90 % pair 0.69 and 1.92.
    below, above = confidence_factors(7)

    assert below == pytest.approx(0.644, abs=5e-4)
    assert above == pytest.approx(2.202, abs=5e-4)
    assert abs(below - 0.690) > 0.04
    assert abs(above - 1.915) > 0.2


def test_noisy_blanks_lift_the_limit_above_the_spikes() -> None:
    blanks = (0.05, 0.02, 0.06, 0.03, 0.04, 0.05, 0.03)
    found = detection_limit(spiked=SEVEN, blanks=blanks)

    # Mean 0.04, s 0.01414 (exact: root of 0.0002): 0.04 + 3.1427 · 0.014142.
    assert found.from_blanks == pytest.approx(0.04 + 3.142668 * 0.0002**0.5, rel=1e-6)
    assert found.limit == found.from_blanks
    assert found.low == pytest.approx(0.644 * found.from_spikes, rel=1e-3)


def test_when_only_some_blanks_read_anything_the_highest_counts() -> None:
    assert blank_limit((0.0, 0.0, 0.02, 0.0, 0.01, 0.0, 0.0)) == 0.02
    assert blank_limit((0.0,) * 7) is None


@pytest.mark.parametrize(("spiked", "blanks"), [(SEVEN[:6], ()), (SEVEN, (0.1, 0.2))])
def test_six_samples_are_too_few(spiked: tuple[float, ...], blanks: tuple[float, ...]) -> None:
    with pytest.raises(OutOfRange, match="number of replicates"):
        detection_limit(spiked=spiked, blanks=blanks)


@given(
    readings=st.lists(st.floats(0.0, 100.0), min_size=7, max_size=30),
    factor=st.floats(0.1, 10.0),
)
def test_another_unit_only_scales_the_limit(readings: list[float], factor: float) -> None:
    before = detection_limit(spiked=readings)
    after = detection_limit(spiked=[reading * factor for reading in readings])

    assert after.limit == pytest.approx(before.limit * factor, rel=1e-6, abs=1e-9)
    assert before.low <= before.from_spikes <= before.high
