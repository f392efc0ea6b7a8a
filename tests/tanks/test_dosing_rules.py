"""Amounts against printed figures, and what a scale or a syringe can show of them."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.domain import OutOfRange
from tanks.rules.dosing import (
    AIMS,
    Contents,
    Start,
    amount,
    canonical_rise,
    implied,
    is_far,
    measurable,
    same_effect,
    serves,
)

SALT = Contents(substance="AMMONIUM_CHLORIDE", form="SOLID", strength=1.0)
STOCK = Contents(substance="AMMONIUM_CHLORIDE", form="SOLUTION", strength=100.0)
BICARBONATE = Contents(substance="SODIUM_BICARBONATE", form="SOLID", strength=1.0)
CARBONATE = Contents(substance="SODIUM_CARBONATE", form="SOLID", strength=1.0)
THIOSULFATE = Contents(substance="SODIUM_THIOSULFATE", form="SOLID", strength=1.0)
SEA_SALT = Contents(substance="SEA_SALT", form="SOLID", strength=1.0)


def test_two_milligrams_in_four_hundred_litres_are_three_grams() -> None:
    # NH4Cl g = mg/L-N x V / 261.9: molar masses 53.4915 (chemicals 1.5.2) and 14.0067.
    # The trade's table prints 3.06; 800 / 261.867 is 3.05499.
    found = amount(contents=SALT, rise=2, volume_l=400)

    assert found.exact == pytest.approx(3.06, abs=0.006)
    assert found.exact == pytest.approx(800 / 261.867, rel=1e-4)
    assert (found.rounded, found.unit) == (Decimal("3.05"), "g")


def test_a_hundred_gram_stock_holds_26_milligrams_of_nitrogen_a_millilitre() -> None:
    # 100 g/L x 14.0067 / 53.4915 = 26.185 mg N/mL; by periodictable's 53.489, 26.187.
    found = amount(contents=STOCK, rise=2, volume_l=400)

    assert found.exact == pytest.approx(800 / 26.187, rel=1e-3)
    assert found.unit == "mL"


def test_impure_salt_takes_more_of_itself() -> None:
    impure = Contents(substance="AMMONIUM_CHLORIDE", form="SOLID", strength=0.8)

    assert amount(contents=impure, rise=2, volume_l=400).exact == pytest.approx(
        3.055 / 0.8, rel=1e-3
    )


def test_bicarbonate_and_carbonate_for_a_milliequivalent_in_a_hundred_litres() -> None:
    # Molar masses 84.006 and 105.988 / 2: 8.401 g and 5.299 g, computed with molmass.
    bicarbonate = amount(contents=BICARBONATE, rise=1, volume_l=100)
    carbonate = amount(contents=CARBONATE, rise=1, volume_l=100)

    assert bicarbonate.exact == pytest.approx(8.401, rel=1e-3)
    assert carbonate.exact == pytest.approx(5.299, rel=1e-3)


def test_one_degree_of_carbonate_hardness_takes_three_grams() -> None:
    # 1 dKH = 10 mg/L CaO = 0.3566 meq/L; 2.996 g NaHCO3 per 100 L.
    rise = canonical_rise(purpose="ALKALINITY", target=1, unit="dKH")

    assert amount(contents=BICARBONATE, rise=rise, volume_l=100).exact == pytest.approx(
        2.996, rel=1e-3
    )


def test_fifty_milligrams_of_calcium_carbonate_are_a_milliequivalent_almost() -> None:
    # 8.393 g NaHCO3 per 100 L for 50 mg/L CaCO3, by molar mass.
    rise = canonical_rise(purpose="ALKALINITY", target=50, unit="mg/L CaCO3")

    assert amount(contents=BICARBONATE, rise=rise, volume_l=100).exact == pytest.approx(
        8.393, rel=1e-3
    )


def test_thiosulfate_is_seven_to_one_of_chlorine() -> None:
    # Laboratory practice: 7.0 mg pentahydrate per mg Cl2; 3 mg/L in 200 L then takes 4.2 g.
    found = amount(contents=THIOSULFATE, rise=3, volume_l=200)

    assert found.exact == pytest.approx(4.2, rel=1e-3)


def test_dry_salt_for_sea_water_from_fresh() -> None:
    # S 35 at 25 °C: density 1.0233 kg/L (TEOS-10); 35.165 g salt in 1000 g leave 964.8 g water,
    # so a litre of pure water (0.99705 kg) takes 36.34 g.
    fresh = Start(salinity_g_kg=0.0, temperature_c=25.0)

    found = amount(contents=SEA_SALT, rise=35, volume_l=100, start=fresh)

    assert found.exact == pytest.approx(100 * 997.05 * 35.165 / 964.835, rel=1e-3)


def test_salt_without_a_known_start_is_not_computed() -> None:
    with pytest.raises(KeyError):
        amount(contents=SEA_SALT, rise=35, volume_l=100)


@given(
    measured=st.floats(min_value=0.01, max_value=1e4),
    target=st.floats(min_value=0.1, max_value=10),
    volume_l=st.floats(min_value=10, max_value=1e5),
)
def test_what_was_measured_out_is_what_the_water_got(
    measured: float, target: float, volume_l: float
) -> None:
    exact = amount(contents=SALT, rise=target, volume_l=volume_l).exact

    given_mg_l_n = implied(measured=measured, exact=exact, target=target)

    # The inverse by molar masses: so many mg of N in so many litres.
    assert given_mg_l_n == pytest.approx(measured * 1000 * 14.007 / 53.489 / volume_l, rel=1e-3)


@pytest.mark.parametrize(
    ("exact", "unit", "rounded"),
    [
        (3.0549, "g", "3.05"),
        (30.549, "g", "30.5"),
        (305.49, "g", "305"),
        (8123.0, "g", "8120"),
        (0.3055, "mL", "0.31"),
        (7.64, "mL", "7.6"),
        (30.55, "mL", "31"),
        (305.5, "mL", "310"),
    ],
)
def test_amounts_are_rounded_to_what_a_scale_or_syringe_shows(
    exact: float, unit: str, rounded: str
) -> None:
    # Common practice, no source: 0.01 g pocket scale, 1, 10 and 60 mL syringes.
    assert measurable(exact, unit) == Decimal(rounded)


def test_rounding_that_matters_is_told() -> None:
    assert amount(contents=SALT, rise=0.5, volume_l=7).is_coarse
    assert not amount(contents=SALT, rise=2, volume_l=400).is_coarse


@pytest.mark.parametrize(("measured", "far"), [(1.49, True), (1.5, False), (6, False), (6.1, True)])
def test_twice_or_half_is_the_edge_of_what_is_asked_about(*, measured: float, far: bool) -> None:
    assert is_far(measured=measured, exact=3.0) is far


def test_feeding_and_challenging_both_add_ammonia() -> None:
    assert same_effect("CHALLENGE") == ("AMMONIA", "CHALLENGE")
    assert same_effect("ALKALINITY") == ("ALKALINITY",)


def test_each_purpose_takes_only_its_substances() -> None:
    takers = {purpose for purpose in AIMS if serves("AMMONIUM_CHLORIDE", purpose)}

    assert takers == {"AMMONIA", "CHALLENGE"}
    assert not serves("SODIUM_THIOSULFATE", "ALKALINITY")


def test_a_rise_nobody_aims_at_is_out_of_range() -> None:
    with pytest.raises(OutOfRange):
        amount(contents=BICARBONATE, rise=60, volume_l=100)
