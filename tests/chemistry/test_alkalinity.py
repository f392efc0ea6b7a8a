"""Alkalinity by stoichiometry; the molar masses stand beside each check."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.alkalinity import (
    caco3_from_meq_l,
    dkh_from_meq_l,
    meq_l_from_caco3,
    meq_l_from_dkh,
    rise_from_bicarbonate_meq_l,
    sodium_bicarbonate_g,
    sodium_carbonate_g,
)
from chemistry.domain import OutOfRange


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
