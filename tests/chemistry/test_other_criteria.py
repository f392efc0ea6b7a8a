"""Superseded and Canadian limits, told apart from the ones in force."""

import pytest

from chemistry.ammonium import emerson_fraction
from chemistry.criteria import fresh_chronic_mg_l_n
from chemistry.domain import OutOfRange
from chemistry.other_criteria import (
    ccme_2010_mg_l_n,
    fresh_1999_acute_mg_l_n,
    fresh_1999_acute_with_salmonids_mg_l_n,
    fresh_1999_chronic_mg_l_n,
)


def test_the_limits_of_1999_are_the_ones_that_state_rules_restate() -> None:
    # Found: formulas in South Dakota rule 74:51:01 App. A; computed at pH 8, 25 °C.
    assert fresh_1999_acute_with_salmonids_mg_l_n(ph=8.0) == pytest.approx(5.62, abs=0.005)
    assert fresh_1999_acute_mg_l_n(ph=8.0) == pytest.approx(8.41, abs=0.01)
    assert fresh_1999_chronic_mg_l_n(ph=8.0, temperature_c=25.0) == pytest.approx(1.24, abs=0.005)


def test_they_are_twice_the_limits_in_force() -> None:
    old = fresh_1999_chronic_mg_l_n(ph=8.0, temperature_c=25.0)
    new = fresh_chronic_mg_l_n(ph=8.0, temperature_c=25.0)

    assert old / new == pytest.approx(2.2, abs=0.05)


def test_the_canadian_guideline_is_0_019_of_nh3() -> None:
    # Found: 0.019 mg/L as NH3, and 0.8224 for N, in a public code of the guideline.
    total = ccme_2010_mg_l_n(ph=8.0, temperature_c=20.0)
    share = emerson_fraction(ph=8.0, temperature_c=20.0)

    assert total * share / 0.8224 == pytest.approx(0.019, rel=1e-3)
    # Read as N it would be 22 % laxer.
    assert total != pytest.approx(0.019 / share, rel=0.1)


@pytest.mark.parametrize(("ph", "temperature_c"), [(6.4, 20.0), (9.1, 20.0), (8.0, 31.0)])
def test_they_stop_where_their_tables_stop(ph: float, temperature_c: float) -> None:
    with pytest.raises(OutOfRange):
        fresh_1999_chronic_mg_l_n(ph=ph, temperature_c=temperature_c)
