"""Un-ionised ammonia of a water from its readings, with how far it may be out."""

import pytest

from tanks.rules.free_ammonia import Given, free_ammonia
from tanks.rules.values import Interval


def _given(ph: float, salinity: float | None = None, temperature: float = 25.0) -> Given:
    return Given(
        tan=Interval(1.0, 1.0),
        tan_by="PHOTOMETER",
        ph=Interval(ph, ph),
        ph_by="PROBE",
        ph_is_total=False,
        temperature=Interval(temperature, temperature),
        salinity=None if salinity is None else Interval(salinity, salinity),
    )


def test_it_may_lie_further_above_than_below() -> None:
    # Computed, Emerson, pH 8.0 ± 0.1, 25 ± 0.5 °C, TAN ± 10 %: +24.2 % and -19.7 % by pH alone.
    found = free_ammonia(_given(8.0))

    assert found.above == pytest.approx((0.242**2 + 0.034**2 + 0.1**2) ** 0.5, abs=2e-3)
    assert found.below == pytest.approx(-((0.197**2 + 0.033**2 + 0.1**2) ** 0.5), abs=2e-3)
    assert found.likely.low == pytest.approx(found.value.low * (1 + found.below))


def test_salt_water_is_spread_by_its_own_formula() -> None:
    found = free_ammonia(_given(8.2, 35.0))

    assert found.method == "US EPA 1989"
    assert 0 < -found.below < found.above < 0.3


def test_at_the_edge_of_the_formula_it_is_spread_alike_on_both_sides() -> None:
    found = free_ammonia(_given(8.0, temperature=0.2))

    assert found.above == -found.below
