"""Doses by stoichiometry, dechlorination and drops."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.dechlorination import tan_freed_mg_l_n, thiosulfate_pentahydrate_g
from chemistry.domain import OutOfRange
from chemistry.dosing import (
    ammonia_solution_ml,
    ammonium_chloride_g,
    dose_g,
    implied_rise_mg_l,
    implied_tan_mg_l_n,
    stock_ml,
    substance_in_stock_g,
)
from chemistry.drops import volume_of_drops


def test_ammonium_chloride_for_a_hundred_litres() -> None:
    # NH4Cl 53.4915 g/mol (chemicals 1.5.2), N 14.0067: 3.819 g per g N.
    assert ammonium_chloride_g(tan_mg_l_n=2, volume_l=100) == pytest.approx(
        0.2 * 53.4915 / 14.0067, rel=1e-3
    )


def test_impure_salt_needs_more_of_itself() -> None:
    pure = ammonium_chloride_g(tan_mg_l_n=2, volume_l=400)

    assert ammonium_chloride_g(tan_mg_l_n=2, volume_l=400, purity=0.8) == pytest.approx(pure / 0.8)


def test_a_hundred_gram_stock_holds_26_milligrams_of_nitrogen_a_millilitre() -> None:
    # 100 g/L x 14.0067 / 53.4915 = 26.19 mg N/mL, so 200 mg N are 7.64 mL.
    grams = ammonium_chloride_g(tan_mg_l_n=2, volume_l=100)

    assert stock_ml(substance_g=grams, stock_g_l=100) == pytest.approx(200 / 26.185, rel=1e-3)


def test_five_percent_household_ammonia() -> None:
    # 48.6-49 g NH3/L for 5 % by mass; 2 mg/L as NH3 in 100 L then takes 4.1 mL.
    volume_ml = ammonia_solution_ml(
        tan_mg_l_n=2 * 0.8224, volume_l=100, ammonia_share=0.05, density_kg_l=0.978
    )

    assert volume_ml == pytest.approx(4.1, abs=0.05)


@given(
    tan_mg_l_n=st.floats(min_value=0.01, max_value=10),
    volume_l=st.floats(min_value=1, max_value=1e5),
    purity=st.floats(min_value=0.5, max_value=1),
    stock_g_l=st.floats(min_value=1, max_value=250),
)
def test_the_dose_poured_implies_the_dose_meant(
    tan_mg_l_n: float, volume_l: float, purity: float, stock_g_l: float
) -> None:
    grams = ammonium_chloride_g(tan_mg_l_n=tan_mg_l_n, volume_l=volume_l, purity=purity)
    poured_ml = stock_ml(substance_g=grams, stock_g_l=stock_g_l)
    poured_g = substance_in_stock_g(stock_ml=poured_ml, stock_g_l=stock_g_l)
    implied = implied_tan_mg_l_n(ammonium_chloride_g=poured_g, volume_l=volume_l, purity=purity)

    assert implied == pytest.approx(tan_mg_l_n)


@given(share=st.floats(min_value=0.001, max_value=1), grams=st.floats(min_value=0, max_value=1e3))
def test_any_product_is_inverted_alike(share: float, grams: float) -> None:
    rise = implied_rise_mg_l(dose_g=grams, volume_l=250, active_share=share)
    again = dose_g(rise_mg_l=rise, volume_l=250, active_share=share) if rise <= 1e5 else grams

    assert again == pytest.approx(grams)


@pytest.mark.parametrize("stock_g_l", [0.0, 300.0, float("nan")])
def test_a_stock_that_would_not_stay_dissolved_is_refused(stock_g_l: float) -> None:
    # Solubility of NH4Cl: 294 g/L at 0 °C (property tables).
    with pytest.raises(OutOfRange, match="stock strength"):
        stock_ml(substance_g=1, stock_g_l=stock_g_l)


def test_a_dose_into_no_water_is_refused() -> None:
    with pytest.raises(OutOfRange):
        ammonium_chloride_g(tan_mg_l_n=2, volume_l=0)


def test_seven_of_thiosulfate_take_up_one_of_chlorine() -> None:
    # Laboratory practice: 7.0 mg pentahydrate per mg Cl2; 2 mol of 248.17 g/mol per 70.9 g/mol.
    assert thiosulfate_pentahydrate_g(total_chlorine_mg_l_cl2=1, volume_l=1000) == pytest.approx(
        7.0, rel=1e-3
    )


def test_anhydrous_salt_and_pentahydrate_are_told_apart() -> None:
    anhydrous = 2 * 158.097 / 70.9

    assert thiosulfate_pentahydrate_g(total_chlorine_mg_l_cl2=1, volume_l=1000) == pytest.approx(
        anhydrous * 1.57, rel=1e-3
    )


def test_chloramine_at_the_drinking_water_limit_frees_most_of_a_milligram() -> None:
    # 4 mg/L as Cl2 is the US limit as COMAR 26.04.01.23 restates it.
    # 14.007 / 70.90 x 4 = 0.790 mg/L as N.
    assert tan_freed_mg_l_n(chloramine_mg_l_cl2=4) == pytest.approx(0.790, abs=1e-3)


def test_twenty_drops_are_a_millilitre_give_or_take_fifteen_percent() -> None:
    # USP 32 <1101>, the medicine dropper.
    volume = volume_of_drops(drops=20)

    assert volume.volume_ml == pytest.approx(1.0)
    assert (volume.low_ml, volume.high_ml) == pytest.approx((0.85, 1.15))
