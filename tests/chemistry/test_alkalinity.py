"""Alkalinity by stoichiometry; the molar masses stand beside each check."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.alkalinity import (
    MG_L_CACO3_PER_CLARK_DEGREE,
    MG_L_CACO3_PER_GRAIN_PER_US_GALLON,
    caco3_from_meq_l,
    dkh_from_meq_l,
    meq_l_from_caco3,
    meq_l_from_dkh,
    meq_l_from_mmol_kg,
    mmol_kg_from_meq_l,
    rise_from_bicarbonate_meq_l,
    rise_from_carbonate_meq_l,
    sodium_bicarbonate_g,
    sodium_carbonate_g,
)
from chemistry.domain import OutOfRange
from chemistry.salinity import density_kg_l


def test_one_milliequivalent_in_the_trades_units() -> None:
    # By definition: half a mole of CaCO3 (100.09 g/mol); 1 dKH is 10 mg/L CaO (56.08 g/mol).
    assert caco3_from_meq_l(alkalinity_meq_l=1) == pytest.approx(100.09 / 2, rel=1e-3)
    assert dkh_from_meq_l(alkalinity_meq_l=1) == pytest.approx(56.08 / 20, rel=1e-3)


def test_one_degree_is_about_17_85_of_calcium_carbonate() -> None:
    # Quoted in print as 17.8, 17.848, 17.85 and 17.9.
    degree = caco3_from_meq_l(alkalinity_meq_l=meq_l_from_dkh(alkalinity_dkh=1))

    assert degree == pytest.approx(17.85, abs=0.01)


def test_soda_for_one_milliequivalent_in_a_hundred_litres() -> None:
    # 100 meq of NaHCO3 (84.01 g/eq) and of Na2CO3 (105.99 / 2 g/eq).
    assert sodium_bicarbonate_g(rise_meq_l=1, volume_l=100) == pytest.approx(8.401, rel=1e-3)
    assert sodium_carbonate_g(rise_meq_l=1, volume_l=100) == pytest.approx(5.299, rel=1e-3)


def test_rounded_factors_are_told_apart() -> None:
    # In print 1 meq/L is also 50 mg/L CaCO3 and 2.8 dKH, a degree 17.8 or 17.9 mg/L.
    assert caco3_from_meq_l(alkalinity_meq_l=1.0) == pytest.approx(50.043, abs=1e-3)
    assert dkh_from_meq_l(alkalinity_meq_l=1.0) == pytest.approx(2.80385, abs=1e-4)
    degree = caco3_from_meq_l(alkalinity_meq_l=meq_l_from_dkh(alkalinity_dkh=1.0))
    assert degree == pytest.approx(17.848, abs=1e-3)
    assert degree != pytest.approx(17.8, abs=0.02)


def test_grains_are_the_defined_ones() -> None:
    # Definitions: 64.79891 mg in 3.785411784 or 4.54609 L.
    assert pytest.approx(17.118, abs=1e-3) == MG_L_CACO3_PER_GRAIN_PER_US_GALLON
    assert pytest.approx(14.254, abs=1e-3) == MG_L_CACO3_PER_CLARK_DEGREE


def test_sea_water_is_counted_per_kilogram() -> None:
    # Computed with gsw: 2.300 mmol/kg at S 35, 25 °C is 2.354 meq/L and 6.60 dKH.
    density = float(density_kg_l(salinity_g_kg=35.0, temperature_c=25.0))
    meq_l = meq_l_from_mmol_kg(alkalinity_mmol_kg=2.300, density_kg_l=density)

    assert meq_l == pytest.approx(2.354, abs=1e-3)
    assert dkh_from_meq_l(alkalinity_meq_l=meq_l) == pytest.approx(6.60, abs=0.005)
    assert mmol_kg_from_meq_l(alkalinity_meq_l=meq_l, density_kg_l=density) == pytest.approx(2.300)


# Computed from molar masses: grams for 100 L, bicarbonate and anhydrous carbonate.
@pytest.mark.parametrize(
    ("rise_meq_l", "bicarbonate", "carbonate"),
    [(1.0, 8.401, 5.299), (0.356652, 2.996, 1.890), (50 / 50.043, 8.393, 5.295)],
)
def test_doses_are_the_tabled_ones(rise_meq_l: float, bicarbonate: float, carbonate: float) -> None:
    soda = sodium_bicarbonate_g(rise_meq_l=rise_meq_l, volume_l=100.0)
    ash = sodium_carbonate_g(rise_meq_l=rise_meq_l, volume_l=100.0)

    assert (soda, ash) == pytest.approx((bicarbonate, carbonate), abs=1e-3)
    # Taking one for the other is 59 % off.
    assert soda / ash == pytest.approx(1.5852, abs=1e-3)
    assert rise_from_carbonate_meq_l(carbonate_g=ash, volume_l=100.0) == pytest.approx(rise_meq_l)


@given(
    rise_meq_l=st.floats(min_value=0, max_value=20),
    volume_l=st.floats(min_value=1, max_value=1e5),
    purity=st.floats(min_value=0.5, max_value=1),
)
def test_what_was_computed_implies_the_rise_it_was_computed_for(
    rise_meq_l: float, volume_l: float, purity: float
) -> None:
    grams = sodium_bicarbonate_g(rise_meq_l=rise_meq_l, volume_l=volume_l, purity=purity)
    implied = rise_from_bicarbonate_meq_l(bicarbonate_g=grams, volume_l=volume_l, purity=purity)

    assert implied == pytest.approx(rise_meq_l)


@given(alkalinity_meq_l=st.floats(min_value=0, max_value=50))
def test_units_there_and_back_are_the_same(alkalinity_meq_l: float) -> None:
    caco3 = caco3_from_meq_l(alkalinity_meq_l=alkalinity_meq_l)
    dkh = dkh_from_meq_l(alkalinity_meq_l=alkalinity_meq_l)

    assert meq_l_from_caco3(alkalinity_mg_l_caco3=caco3) == pytest.approx(alkalinity_meq_l)
    assert meq_l_from_dkh(alkalinity_dkh=dkh) == pytest.approx(alkalinity_meq_l)


@pytest.mark.parametrize(
    ("rise_meq_l", "volume_l", "purity"), [(-1, 100, 1), (1, 0, 1), (1, 100, 0), (1, 100, 99)]
)
def test_nonsense_is_refused(rise_meq_l: float, volume_l: float, purity: float) -> None:
    with pytest.raises(OutOfRange):
        sodium_bicarbonate_g(rise_meq_l=rise_meq_l, volume_l=volume_l, purity=purity)
