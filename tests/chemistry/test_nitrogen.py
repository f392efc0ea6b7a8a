"""Mass bases of nitrogen; molmass 2026.1.8 and chemicals 1.5.2 agree within 5e-5."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.nitrogen import (
    NITRATE_PER_NITRITE,
    Basis,
    from_nitrogen,
    nitrogen_from_umol_l,
    to_nitrogen,
    umol_l_from_nitrogen,
)


@pytest.mark.parametrize(
    ("basis", "per_nitrogen"),
    [
        (Basis.N, 1.0),
        (Basis.NH3, 17.030526 / 14.0067),  # molmass
        (Basis.NH4, 18.037918 / 14.0067),  # molmass, its electron removed
        (Basis.NO2, 3.2844),  # chemistry of CIAAW weights, printed as 3.28
        (Basis.NO3, 62.004918 / 14.0067),  # molmass
    ],
)
def test_an_ion_weighs_more_than_its_nitrogen(basis: Basis, per_nitrogen: float) -> None:
    assert from_nitrogen(1.0, basis=basis) == pytest.approx(per_nitrogen, rel=1e-4)


def test_ten_of_nitrate_nitrogen_is_the_known_44_of_nitrate() -> None:
    # US drinking-water criterion, 10 mg/L as N, quoted as 44.3 (or 44) mg/L as nitrate.
    assert from_nitrogen(10.0, basis=Basis.NO3) == pytest.approx(44.3, abs=0.05)


@given(basis=st.sampled_from(Basis), nitrogen=st.floats(min_value=0, max_value=1e4))
def test_there_and_back_is_the_same(basis: Basis, nitrogen: float) -> None:
    assert to_nitrogen(from_nitrogen(nitrogen, basis=basis), basis=basis) == pytest.approx(nitrogen)


# Computed on IUPAC five-figure weights; libraries of atomic weights differ by 5e-5.
@pytest.mark.parametrize(
    ("basis", "factor"),
    [(Basis.NH3, 1.215892), (Basis.NH4, 1.287856), (Basis.NO2, 3.284429), (Basis.NO3, 4.426644)],
)
def test_factors_are_the_tabled_ones(basis: Basis, factor: float) -> None:
    assert from_nitrogen(1.0, basis=basis) == pytest.approx(factor, rel=1e-4)
    assert to_nitrogen(1.0, basis=basis) == pytest.approx(1 / factor, rel=1e-4)


def test_whole_number_weights_are_told_apart() -> None:
    # 17/14 and 62/14 are 0.13 % and 0.04 % off.
    assert from_nitrogen(1.0, basis=Basis.NH3) != pytest.approx(17 / 14, rel=1e-3)
    assert from_nitrogen(1.0, basis=Basis.NO3) != pytest.approx(62 / 14, rel=3e-4)


def test_the_drinking_water_limit_reads_four_times_larger_as_nitrate() -> None:
    # Computed: 10 mg/L as N is 44.27 mg/L as NO3; 71.39 µmol per mg.
    assert from_nitrogen(10.0, basis=Basis.NO3) == pytest.approx(44.27, abs=0.005)
    assert umol_l_from_nitrogen(1.0) == pytest.approx(71.39288, rel=1e-4)
    assert pytest.approx(1.347767, rel=1e-4) == NITRATE_PER_NITRITE


@given(mg_l=st.floats(0, 1e5))
def test_moles_and_back_are_the_same(mg_l: float) -> None:
    assert nitrogen_from_umol_l(umol_l_from_nitrogen(mg_l)) == pytest.approx(mg_l)


def test_arrays_convert_element_by_element() -> None:
    amounts = np.array([0.0, 1.0, 10.0])

    assert from_nitrogen(amounts, basis=Basis.NO3) == pytest.approx(4.426644 * amounts, rel=1e-4)
