"""Drops: what a count delivers and how far off it may be."""

import pytest

from chemistry.domain import OutOfRange
from chemistry.drops import COUNTED_ERROR, drop_ml, rise_of_drops, volume_of_drops


def test_the_pharmacopoeias_drop_weighs_45_to_55_milligrams() -> None:
    # USP 32 <1101>: 20 drops a millilitre, a drop of 45 to 55 mg, delivery within 15 %.
    one = volume_of_drops(drops=1)

    assert one.volume_ml == pytest.approx(0.05)
    assert one.low_ml < 0.045
    assert one.high_ml > 0.055


def test_eight_drops_of_dye_in_ten_gallons() -> None:
    # The trade's worked case: 0.75 % w/v, 8 drops in 10 US gal: 0.079 mg/L at 0.05 mL and 0.10
    # at 0.0625 mL, where the published instruction says 0.10.
    usual = rise_of_drops(
        drops=8, solution_g_l=7.5, volume_l=37.85411784, drop_ml=0.05, relative_error=0.15
    )
    larger = rise_of_drops(
        drops=8, solution_g_l=7.5, volume_l=37.85411784, drop_ml=0.0625, relative_error=0.0
    )

    assert usual.rise_mg_l == pytest.approx(0.079, abs=5e-4)
    assert (usual.low_mg_l, usual.high_mg_l) == pytest.approx((0.0674, 0.0911), abs=5e-4)
    assert larger.rise_mg_l == pytest.approx(0.099, abs=5e-4)


def test_a_drop_of_stock_in_ten_litres() -> None:
    # 100 g/L NH4Cl, 26.187 mg N/mL: a 0.05 mL drop is 0.131 mg N/L in 10 L.
    drop = rise_of_drops(
        drops=1, solution_g_l=26.187, volume_l=10, drop_ml=0.05, relative_error=0.15
    )

    assert drop.rise_mg_l == pytest.approx(0.131, abs=5e-4)


def test_this_bottles_drop_by_counting_it() -> None:
    size_ml = drop_ml(caught_ml=1.3, drops=40.0)
    counted = volume_of_drops(drops=40, drop_ml=size_ml, relative_error=COUNTED_ERROR)

    assert counted.volume_ml == pytest.approx(1.3)
    assert counted.high_ml - counted.low_ml < 0.15


def test_a_guess_from_three_drops_is_refused() -> None:
    with pytest.raises(OutOfRange, match="drops counted"):
        drop_ml(caught_ml=0.15, drops=3.0)


def test_a_spoonful_is_not_a_drop() -> None:
    with pytest.raises(OutOfRange, match="size of a drop"):
        drop_ml(caught_ml=50.0, drops=10.0)
