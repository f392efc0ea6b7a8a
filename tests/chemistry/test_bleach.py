"""Bleach baths for empty equipment, against dilutions in print."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.bleach import CL2_PER_NAOCL, Label, available_chlorine_g_l, bleach_ml
from chemistry.domain import OutOfRange


def test_one_hypochlorite_counts_as_one_chlorine() -> None:
    # 70.90 / 74.44 by hand.
    assert pytest.approx(0.9524, abs=1e-4) == CL2_PER_NAOCL


@pytest.mark.parametrize(("percent", "printed_mg_l"), [(5.25, 525), (6.15, 615)])
def test_one_in_a_hundred_of_household_bleach(percent: float, printed_mg_l: float) -> None:
    # A health agency's guidance (found): 1:100 of 5.25-6.15 % bleach provides 525-615 mg/L of
    # available chlorine. It takes per cent as grams in 100 mL; by weight it is 3 % more.
    by_weight = available_chlorine_g_l(
        percent=percent, label=Label.NAOCL_BY_WEIGHT, density_kg_l=1.08
    )
    taken_plainly = available_chlorine_g_l(
        percent=percent, label=Label.CL2_BY_VOLUME, density_kg_l=1.08
    )

    assert 10 * taken_plainly == pytest.approx(printed_mg_l)
    assert 10 * by_weight == pytest.approx(printed_mg_l, rel=0.03)


def test_four_readings_of_one_label_span_a_quarter() -> None:
    strengths = [
        available_chlorine_g_l(percent=12.5, label=label, density_kg_l=1.2) for label in Label
    ]

    assert max(strengths) / min(strengths) == pytest.approx(1.2 / 0.9524, rel=1e-3)


def test_two_hundred_milligrams_in_fifty_litres() -> None:
    # By hand: 10 g of chlorine from 50 g/L is 200 mL; from a bottle half gone, 400.
    fresh = bleach_ml(chlorine_mg_l_cl2=200.0, volume_l=50.0, available_g_l=50.0, kept_share=1.0)
    old = bleach_ml(chlorine_mg_l_cl2=200.0, volume_l=50.0, available_g_l=50.0, kept_share=0.5)

    assert (fresh, old) == pytest.approx((200, 400))


@given(
    chlorine=st.floats(min_value=1, max_value=5000),
    volume_l=st.floats(min_value=1, max_value=1e4),
    available=st.floats(min_value=10, max_value=200),
)
def test_the_bath_holds_what_was_poured(chlorine: float, volume_l: float, available: float) -> None:
    poured = bleach_ml(
        chlorine_mg_l_cl2=chlorine, volume_l=volume_l, available_g_l=available, kept_share=1.0
    )

    assert poured * available / volume_l == pytest.approx(chlorine)


def test_a_share_typed_as_percent_is_refused() -> None:
    with pytest.raises(OutOfRange, match="strength of the bleach"):
        available_chlorine_g_l(percent=0.05, label=Label.NAOCL_BY_WEIGHT, density_kg_l=1.08)
