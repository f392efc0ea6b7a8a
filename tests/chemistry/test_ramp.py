"""Daily steps: as few as the pace allows, ending exactly, conserving what they move."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.dilution import Unreachable, salt_g
from chemistry.domain import OutOfRange
from chemistry.ramp import exchange_ramp, salt_ramp, temperature_ramp


def test_from_eighteen_to_thirty_five_in_three_days() -> None:
    steps = salt_ramp(
        volume_l=1000, salinity_g_kg=18, target_g_kg=35, step_g_kg=6, temperature_c=26
    )

    assert [step.day for step in steps] == [1, 2, 3]
    assert [step.target_g_kg for step in steps] == pytest.approx([23.667, 29.333, 35.0], abs=1e-3)


def test_the_days_together_take_the_salt_of_one_leap() -> None:
    steps = salt_ramp(
        volume_l=1000, salinity_g_kg=18, target_g_kg=35, step_g_kg=6, temperature_c=26
    )
    leap_g = salt_g(volume_l=1000, salinity_g_kg=18, target_g_kg=35, temperature_c=26)

    # Each day is reckoned on the volume brought back to 1000 L, 0.2 % swelling a day.
    assert sum(step.salt_g for step in steps) == pytest.approx(leap_g, rel=0.005)
    assert all(step.exchange_l == 0 for step in steps)


def test_down_by_exchanging_for_fresh_water() -> None:
    steps = exchange_ramp(
        volume_l=400, salinity_g_kg=35, target_g_kg=20, step_g_kg=5, source_g_kg=0, temperature_c=25
    )

    # By hand, without densities: 5/35, 5/30, 5/25 of 400 L.
    assert [step.exchange_l for step in steps] == pytest.approx([57.1, 66.7, 80.0], rel=0.03)
    assert steps[-1].target_g_kg == 20


def test_exchange_for_the_wrong_water_is_refused() -> None:
    with pytest.raises(Unreachable):
        exchange_ramp(
            volume_l=400, salinity_g_kg=20, target_g_kg=35, step_g_kg=5,
            source_g_kg=34, temperature_c=25,
        )  # fmt: skip


def test_salt_down_is_refused() -> None:
    with pytest.raises(Unreachable):
        salt_ramp(volume_l=400, salinity_g_kg=35, target_g_kg=20, step_g_kg=5, temperature_c=25)


def test_cooling_from_cycling_to_stocking() -> None:
    steps = temperature_ramp(temperature_c=29, target_c=24, step_c=2)

    assert [step.target_c for step in steps] == pytest.approx([27.333, 25.667, 24.0], abs=1e-3)


def test_a_pace_that_fits_but_for_rounding_takes_no_further_day() -> None:
    # 26.1 - 24 over 0.7 is 3.000000000000002 in floating point.
    assert len(temperature_ramp(temperature_c=24, target_c=26.1, step_c=0.7)) == 3


def test_nothing_to_do_is_no_steps() -> None:
    assert temperature_ramp(temperature_c=25, target_c=25, step_c=1) == ()


def test_a_pace_of_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange):
        temperature_ramp(temperature_c=25, target_c=28, step_c=0)


@given(
    start=st.floats(min_value=0, max_value=40),
    end=st.floats(min_value=0, max_value=40),
    pace=st.floats(min_value=0.2, max_value=10),
)
def test_no_day_goes_further_than_its_pace(start: float, end: float, pace: float) -> None:
    targets = [s.target_c for s in temperature_ramp(temperature_c=start, target_c=end, step_c=pace)]
    days = [abs(b - a) for a, b in zip([start, *targets], targets, strict=False)]

    assert all(day <= pace * (1 + 1e-6) for day in days)
    assert len(targets) < abs(end - start) / pace + 1
    assert not targets or targets[-1] == end
