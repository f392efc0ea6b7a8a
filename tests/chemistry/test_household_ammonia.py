"""Household ammonia against its printed tables."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.constants import NITROGEN_G_MOL
from chemistry.domain import OutOfRange
from chemistry.dosing import N_PER_AMMONIA, ammonium_chloride_g
from chemistry.feed import alkalinity_used_meq_l
from chemistry.household_ammonia import (
    alkalinity_added_meq_l,
    ammonia_density_kg_l,
    ammonia_share,
    household_ammonia_ml,
)


# Carius, as Cooley's Cyclopaedia reprints it.
@pytest.mark.parametrize(
    ("gravity", "percent"), [(0.99, 2.453), (0.96, 10.119), (0.925, 19.691), (0.88, 33.117)]
)
def test_the_printed_strengths(gravity: float, percent: float) -> None:
    assert ammonia_share(gravity=gravity) == pytest.approx(percent / 100)


def test_the_pharmacopoeias_densities() -> None:
    # British Pharmacopoeia: 25 % w/w 0.91 g/mL, 35 % 0.88 g/mL (just beyond the table).
    assert ammonia_density_kg_l(ammonia_share=0.25) == pytest.approx(0.91, abs=0.005)
    assert ammonia_density_kg_l(ammonia_share=0.33) == pytest.approx(0.88, abs=0.005)


def test_an_older_table_differs_by_half_a_percent() -> None:
    # Ure gives 26.5 % at 0.9000, Carius 26.984: both are in print.
    assert ammonia_share(gravity=0.9) - 0.265 == pytest.approx(0.005, abs=1e-3)


@pytest.mark.parametrize(("percent", "millilitres"), [(5, 4.1), (10, 2.1), (28, 0.80)])
def test_two_milligrams_of_ammonia_in_a_hundred_litres(percent: float, millilitres: float) -> None:
    # Computed: 48.6 to 49 g NH3 in a litre of 5 %, so 200 mg NH3 take 4.1 mL.
    poured = household_ammonia_ml(
        tan_mg_l_n=2 * N_PER_AMMONIA, volume_l=100, ammonia_share=percent / 100
    )

    assert poured == pytest.approx(millilitres, rel=0.02)


def test_ammonia_brings_half_the_alkalinity_its_oxidation_takes() -> None:
    # NH3 + H+ gives NH4+, one equivalent; NH4+ + 2 O2 frees two.
    assert alkalinity_added_meq_l(tan_mg_l_n=2.0) == pytest.approx(
        alkalinity_used_meq_l(oxidised_mg_l_n=2) / 2
    )
    assert alkalinity_added_meq_l(tan_mg_l_n=np.array([NITROGEN_G_MOL]))[0] == pytest.approx(1)


@given(gravity=st.floats(min_value=0.885, max_value=0.999))
def test_gravity_and_strength_agree_both_ways(gravity: float) -> None:
    share = ammonia_share(gravity=gravity)
    if share >= 0.001:
        density = ammonia_density_kg_l(ammonia_share=share)
        # Water at 60 °F weighs 0.99904 kg/L.
        assert density / 0.99904 == pytest.approx(gravity, abs=1e-4)


def test_a_percentage_typed_for_a_share_is_refused() -> None:
    with pytest.raises(OutOfRange, match="ammonia strength"):
        household_ammonia_ml(tan_mg_l_n=2, volume_l=100, ammonia_share=5)


def test_the_three_bases_of_a_dose_of_two() -> None:
    # The same "2 ppm" spans 0.593 to 0.764 g in 100 L; as NH3 0.6281, as NH4 0.5930.
    as_n = ammonium_chloride_g(tan_mg_l_n=2.0, volume_l=100.0)
    as_nh3 = ammonium_chloride_g(tan_mg_l_n=2 * 0.822441, volume_l=100.0)
    as_nh4 = ammonium_chloride_g(tan_mg_l_n=2 * 0.776484, volume_l=100.0)

    assert (as_n, as_nh3, as_nh4) == pytest.approx((0.7637, 0.6281, 0.5930), abs=1e-4)
