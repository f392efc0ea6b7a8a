"""Exchanges and salt by mass balance."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.dilution import (
    Unreachable,
    after_change,
    after_changes,
    changes_to_reach,
    fraction_to_reach,
    salinity_exchange_l,
    salt_g,
)
from chemistry.domain import OutOfRange
from chemistry.salinity import density_kg_l

LEVELS = st.floats(min_value=0, max_value=200)


def test_half_a_tank_towards_tap_water_that_is_not_clean() -> None:
    # 80 mg/L nitrate, tap at 20: halfway is 50, again 35; never below the tap's 20.
    assert after_change(level=80, source_level=20, fraction=0.5) == pytest.approx(50)
    assert after_changes(level=80, source_level=20, fraction=0.5, times=2) == pytest.approx(35)
    assert after_changes(level=80, source_level=20, fraction=0.5, times=40) == pytest.approx(20)


# The trade's worked cases: nitrate 80 to 20 with tap water of 10 takes 86 %, not the 75 % of a
# tap that is forgotten, which lands on 27.5; by quarters seven changes, by thirds five, by
# halves three; two quarters are 43.75 %, not half.
def test_the_tap_is_not_forgotten() -> None:
    right = fraction_to_reach(level=80, source_level=10, target_level=20)

    assert right == pytest.approx(0.857, abs=5e-4)
    assert after_change(level=80, source_level=10, fraction=0.75) == pytest.approx(27.5)


@pytest.mark.parametrize(("fraction", "changes"), [(0.25, 7), (0.33, 5), (0.5, 3)])
def test_small_changes_take_their_number(fraction: float, changes: int) -> None:
    assert (
        changes_to_reach(level=80, source_level=10, target_level=20, fraction=fraction) == changes
    )


def test_percentages_do_not_add_up() -> None:
    left = after_changes(level=1.0, source_level=0.0, fraction=0.25, times=2)

    assert 1 - left == pytest.approx(0.4375)


def test_many_tanks_at_once() -> None:
    levels = np.array([80.0, 40.0, 20.0])
    sources, targets = np.full(3, 10.0), np.full(3, 20.0)
    fractions = fraction_to_reach(level=levels, source_level=sources, target_level=targets)

    assert fractions == pytest.approx([6 / 7, 2 / 3, 0])
    assert after_changes(
        level=levels, source_level=sources, fraction=fractions, times=1
    ) == pytest.approx(targets)


def test_one_tank_among_many_that_cannot_get_there_is_named() -> None:
    with pytest.raises(Unreachable, match="from 9 with source water of 0"):
        fraction_to_reach(
            level=np.array([30.0, 9.0]), source_level=np.zeros(2), target_level=np.full(2, 10.0)
        )


@pytest.mark.parametrize("level", [float("nan"), float("inf")])
def test_what_is_no_number_is_refused(level: float) -> None:
    with pytest.raises(OutOfRange):
        after_change(level=level, source_level=0, fraction=0.5)
    with pytest.raises(OutOfRange):
        fraction_to_reach(level=level, source_level=0, target_level=0)


def test_three_halvings_reach_an_eighth_and_not_four() -> None:
    assert changes_to_reach(level=8, source_level=0, target_level=1, fraction=0.5) == 3
    assert changes_to_reach(level=8, source_level=0, target_level=0.99, fraction=0.5) == 4
    assert changes_to_reach(level=8, source_level=0, target_level=8, fraction=0.5) == 0


def test_a_target_met_but_for_rounding_takes_no_further_change() -> None:
    # 80 x 0.75³ is 33.75; its logarithms divide to 3.0000000000000004.
    assert changes_to_reach(level=80, source_level=0, target_level=33.75, fraction=0.25) == 3


@pytest.mark.parametrize("target_level", [19.9, 80.1])
def test_a_target_beyond_the_source_is_refused(target_level: float) -> None:
    with pytest.raises(Unreachable, match="must lie between"):
        fraction_to_reach(level=80, source_level=20, target_level=target_level)


def test_changes_never_quite_reach_the_source() -> None:
    with pytest.raises(Unreachable, match="never reach"):
        changes_to_reach(level=80, source_level=20, target_level=20, fraction=0.5)
    assert fraction_to_reach(level=80, source_level=20, target_level=20) == pytest.approx(1)


@given(level=LEVELS, source=LEVELS, fraction=st.floats(min_value=0, max_value=1))
def test_the_fraction_that_leads_there_is_found_again(
    level: float, source: float, fraction: float
) -> None:
    target = after_change(level=level, source_level=source, fraction=fraction)
    low, high = sorted((level, source))
    target = min(max(target, low), high)
    found = fraction_to_reach(level=level, source_level=source, target_level=target)

    assert after_change(level=level, source_level=source, fraction=found) == pytest.approx(
        target, abs=1e-9
    )


@given(level=LEVELS, source=LEVELS, times=st.integers(min_value=0, max_value=30))
def test_many_changes_are_the_same_change_many_times(
    level: float, source: float, times: int
) -> None:
    one_by_one = level
    for _ in range(times):
        one_by_one = after_change(level=one_by_one, source_level=source, fraction=0.3)
    at_once = after_changes(level=level, source_level=source, fraction=0.3, times=times)

    assert at_once == pytest.approx(one_by_one, abs=1e-9)


def test_full_sea_water_to_fourteen_takes_about_sixty_percent() -> None:
    # The trade's f = 1 - B/A says 60 %; sea water is 2.6 % heavier, so a little more.
    litres = salinity_exchange_l(
        volume_l=100, salinity_g_kg=35, target_g_kg=14, source_g_kg=0, temperature_c=25
    )

    assert 60 < litres < 61


def test_removing_by_difference_of_gravity_misses_by_points() -> None:
    # The trade's mistake: (1.0264 - 1.0105) / 1.0264 taken for the share to exchange.
    by_gravity = 100 * (1.02637 - 1.01053) / 1.02637
    litres = salinity_exchange_l(
        volume_l=100, salinity_g_kg=35, target_g_kg=14, source_g_kg=0, temperature_c=25
    )

    assert litres - by_gravity > 50


def test_brine_lifts_three_hundred_litres_by_two() -> None:
    # The trade's worked case: 300 L, 33 to 35 with 45 g/kg brine, 17 % or 50 L.
    litres = salinity_exchange_l(
        volume_l=300, salinity_g_kg=33, target_g_kg=35, source_g_kg=45, temperature_c=25
    )

    assert litres == pytest.approx(50, abs=0.5)


@given(
    now=st.floats(min_value=1, max_value=40),
    source=st.floats(min_value=0, max_value=45),
    share=st.floats(min_value=0.05, max_value=0.95),
)
def test_salt_is_conserved_by_an_exchange(now: float, source: float, share: float) -> None:
    target = now + share * (source - now)
    litres = salinity_exchange_l(
        volume_l=100, salinity_g_kg=now, target_g_kg=target, source_g_kg=source, temperature_c=20
    )
    kept_kg = (100 - litres) * density_kg_l(salinity_g_kg=now, temperature_c=20)
    added_kg = litres * density_kg_l(salinity_g_kg=source, temperature_c=20)

    mixed = (kept_kg * now + added_kg * source) / (kept_kg + added_kg)

    assert mixed == pytest.approx(target, abs=1e-9)


def test_sea_salt_from_fresh_water_to_sea_water() -> None:
    # TEOS-10: 35.16504 g of salt in every kg of sea water, so per kg of pure water
    # 35.16504 / 0.96483496 g; 100 L of pure water at 25 °C weigh 99.7048 kg (EOS-80 table).
    grams = salt_g(volume_l=100, salinity_g_kg=0, target_g_kg=35, temperature_c=25)

    assert grams == pytest.approx(99.7048 * 35.16504 / 0.96483496, rel=1e-4)


def test_damp_salt_needs_more_of_itself() -> None:
    dry = salt_g(volume_l=100, salinity_g_kg=18, target_g_kg=35, temperature_c=25)

    assert salt_g(
        volume_l=100, salinity_g_kg=18, target_g_kg=35, temperature_c=25, purity=0.9
    ) == pytest.approx(dry / 0.9)


def test_salt_cannot_take_salt_out() -> None:
    with pytest.raises(Unreachable, match="exchange water instead"):
        salt_g(volume_l=100, salinity_g_kg=35, target_g_kg=30, temperature_c=25)


def test_salting_into_brine_is_refused() -> None:
    with pytest.raises(OutOfRange):
        salt_g(volume_l=100, salinity_g_kg=35, target_g_kg=90, temperature_c=25)
