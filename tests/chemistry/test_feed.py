"""Feed and what nitrifying its ammonia takes."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.domain import OutOfRange
from chemistry.feed import (
    alkalinity_used_meq_l,
    certified_feed_g_day,
    challenge_for_feed_mg_l_n,
    daily_use,
    oxygen_used_mg_l,
    protein_as_fed,
    tan_from_feed_g,
    tan_rise_from_feed_mg_l_n,
)


def test_the_published_worked_case() -> None:
    # An aquaponics text citing Timmons & Ebeling: 2,000 g of 32 % feed makes 58.9 g TAN.
    assert tan_from_feed_g(feed_g=2000, protein_share=0.32) == pytest.approx(58.9, abs=0.05)


def test_two_milligrams_cleared_in_400_litres_certify_19_grams() -> None:
    # 2 x 400 / (1000 x 0.45 x 0.092), worked by hand.
    assert certified_feed_g_day(
        cleared_mg_l_n=2, volume_l=400, protein_share=0.45
    ) == pytest.approx(19.3, abs=0.05)


def test_twenty_grams_raise_400_litres_by_two() -> None:
    assert tan_rise_from_feed_mg_l_n(feed_g=20, protein_share=0.45, volume_l=400) == pytest.approx(
        2.07, abs=0.01
    )


def test_oxygen_and_alkalinity_per_milligram_of_nitrogen() -> None:
    # 4.57 mg O2 (wastewater texts); 7.14 mg CaCO3 is 2 eq per mole of N.
    assert oxygen_used_mg_l(oxidised_mg_l_n=1) == pytest.approx(4.57, rel=1e-3)
    assert 50.04 * alkalinity_used_meq_l(oxidised_mg_l_n=1) == pytest.approx(7.145, rel=1e-3)


def test_a_day_of_two_milligrams_takes_four_fifths_of_a_degree() -> None:
    # The trade's worked case: 2 mg/L a day take 14.3 mg/L CaCO3, 0.8 dKH; 12 mg NaHCO3 per mg N.
    use = daily_use(feed_g_day=20, protein_share=0.45, volume_l=414)

    assert use.tan_mg_l_n == pytest.approx(2.0, abs=0.005)
    assert 50.04 * use.alkalinity_meq_l == pytest.approx(14.3, abs=0.05)
    assert 2.804 * use.alkalinity_meq_l == pytest.approx(0.8, abs=0.005)
    assert use.bicarbonate_g / use.tan_g == pytest.approx(12, abs=0.01)
    assert use.oxygen_g / use.tan_g == pytest.approx(4.57, abs=0.005)


def test_frozen_food_is_mostly_water() -> None:
    # By hand: 60 % protein of a fifth that is not water is 12 %.
    as_fed = protein_as_fed(protein_dry_share=0.60, water_share=0.80)

    assert as_fed == pytest.approx(0.12)
    wrong = tan_from_feed_g(feed_g=10, protein_share=0.60)
    assert wrong / tan_from_feed_g(feed_g=10, protein_share=as_fed) == pytest.approx(5)


def test_many_feedings_at_once() -> None:
    grams = tan_from_feed_g(feed_g=np.array([2000.0, 20.0]), protein_share=0.32)

    assert grams == pytest.approx([58.88, 0.5888])


@given(
    cleared=st.floats(min_value=0.1, max_value=10),
    volume_l=st.floats(min_value=1, max_value=1e5),
    protein=st.floats(min_value=0.05, max_value=0.9),
)
def test_the_certified_feed_makes_what_was_cleared(
    cleared: float, volume_l: float, protein: float
) -> None:
    feed = certified_feed_g_day(cleared_mg_l_n=cleared, volume_l=volume_l, protein_share=protein)

    assert challenge_for_feed_mg_l_n(
        feed_g_day=feed, volume_l=volume_l, protein_share=protein
    ) == pytest.approx(cleared)


def test_protein_typed_in_percent_is_refused() -> None:
    with pytest.raises(OutOfRange, match="share"):
        certified_feed_g_day(cleared_mg_l_n=2, volume_l=400, protein_share=45)
