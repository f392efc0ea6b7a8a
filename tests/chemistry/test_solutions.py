"""Per cent, stocks and thinning: worked cases of pharmacy and of the trade."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.domain import OutOfRange
from chemistry.salts import FACTS, Salt
from chemistry.solutions import (
    Percent,
    dose_ml,
    labelled_strength_g_l,
    rise_of_ml,
    stock_salt_g,
    strength_g_l,
    strong_ml,
)


def test_one_percent_by_volume_is_ten_milligrams_a_millilitre() -> None:
    # Pharmacopoeias: 1 % w/v is 1 g in 100 mL.
    assert strength_g_l(
        percent=1.0, kind=Percent.WEIGHT_IN_VOLUME, density_kg_l=1.2
    ) == pytest.approx(10)


def test_percent_by_weight_needs_the_density() -> None:
    # British Pharmacopoeia: 35 % w/w ammonia of 0.88 g/mL is 18 mol/L, 25 % of 0.91 is 13.5.
    strong = strength_g_l(percent=35.0, kind=Percent.WEIGHT_IN_WEIGHT, density_kg_l=0.88)
    weak = strength_g_l(percent=25.0, kind=Percent.WEIGHT_IN_WEIGHT, density_kg_l=0.91)

    assert (strong / 17.031, weak / 17.031) == pytest.approx((18.0, 13.5), abs=0.2)


def test_the_copper_stock_of_the_trade() -> None:
    # 1 g CuSO4·5H2O in 250 mL is 1.02 mg Cu/mL; 200 L at 0.15 mg/L take 29.5 mL, that is 30 mg
    # (a public page prints 30 grams).
    share = FACTS[Salt.COPPER_SULFATE_PENTAHYDRATE].share
    stock_g_l = 4.0

    assert stock_g_l * share == pytest.approx(1.02, abs=0.005)
    assert dose_ml(
        rise_mg_l=0.15, volume_l=200.0, solution_g_l=stock_g_l, active_share=share
    ) == pytest.approx(29.5, abs=0.05)


def test_four_drops_a_gallon_imply_a_strength() -> None:
    # 4 drops of 0.05 mL in a US gallon giving 2 mg/L: 37.85 mg/mL, by hand.
    assert labelled_strength_g_l(
        rise_mg_l=2.0, volume_l=3.785411784, poured_ml=0.2
    ) == pytest.approx(37.85, abs=0.01)


def test_thinning_a_stock() -> None:
    # C1 V1 = C2 V2: 100 g/L to a litre of 10 g/L is 100 mL made up.
    assert strong_ml(strong_g_l=100.0, wanted_g_l=10.0, wanted_ml=1000.0) == pytest.approx(100)


def test_a_stock_cannot_be_thinned_upwards() -> None:
    with pytest.raises(OutOfRange, match="share of the strong") as refusal:
        strong_ml(
            strong_g_l=np.array([100.0, 10.0]),
            wanted_g_l=np.array([10.0, 100.0]),
            wanted_ml=np.array([1.0, 1.0]),
        )

    assert refusal.value.field == "wanted_g_l"


def test_a_litre_of_ammonium_chloride_stock() -> None:
    assert stock_salt_g(
        salt=Salt.AMMONIUM_CHLORIDE, stock_g_l=100, stock_ml=500, purity=0.98
    ) == pytest.approx(51.02, abs=0.01)


@pytest.mark.parametrize(
    ("salt", "too_strong_g_l"),
    [(Salt.SODIUM_BICARBONATE, 100), (Salt.AMMONIUM_CHLORIDE, 300), (Salt.SODIUM_CARBONATE, 150)],
)
def test_a_stock_that_would_drop_crystals_is_refused(salt: Salt, too_strong_g_l: float) -> None:
    with pytest.raises(OutOfRange, match="dissolved at 10 °C"):
        stock_salt_g(salt=salt, stock_g_l=too_strong_g_l, stock_ml=500)


@given(
    rise=st.floats(min_value=0.001, max_value=100),
    volume_l=st.floats(min_value=1, max_value=1e5),
    strength=st.floats(min_value=10, max_value=1000),
    share=st.floats(min_value=0.01, max_value=1),
)
def test_what_was_poured_implies_what_was_meant(
    rise: float, volume_l: float, strength: float, share: float
) -> None:
    poured = dose_ml(rise_mg_l=rise, volume_l=volume_l, solution_g_l=strength, active_share=share)

    assert rise_of_ml(
        poured_ml=poured, volume_l=volume_l, solution_g_l=strength, active_share=share
    ) == pytest.approx(rise)


@given(
    strong=st.floats(min_value=1, max_value=500),
    thinning=st.floats(min_value=0.01, max_value=1),
    rise=st.floats(min_value=0.01, max_value=10),
)
def test_a_thinned_stock_takes_more_of_itself_and_the_same_substance(
    strong: float, thinning: float, rise: float
) -> None:
    of_strong = dose_ml(rise_mg_l=rise, volume_l=400.0, solution_g_l=strong, active_share=1.0)
    of_thin = dose_ml(
        rise_mg_l=rise, volume_l=400.0, solution_g_l=strong * thinning, active_share=1.0
    )

    assert of_thin * thinning == pytest.approx(of_strong)
