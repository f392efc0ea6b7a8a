"""Mass bases of nitrogen; molmass 2026.1.8 and chemicals 1.5.2 agree within 5e-5."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.nitrogen import Basis, from_nitrogen, to_nitrogen


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


def test_integer_atomic_weights_are_told_apart() -> None:
    assert from_nitrogen(1.0, basis=Basis.NH3) != pytest.approx(17 / 14, rel=1e-3)


@given(basis=st.sampled_from(Basis), nitrogen=st.floats(min_value=0, max_value=1e4))
def test_there_and_back_is_the_same(basis: Basis, nitrogen: float) -> None:
    assert to_nitrogen(from_nitrogen(nitrogen, basis=basis), basis=basis) == pytest.approx(nitrogen)
