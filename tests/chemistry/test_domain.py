"""Where formulas hold: what passes, what is refused, and how it is said."""

import math

import numpy as np
import pytest

from chemistry.domain import OutOfRange, Range, plain, within

BATH = Range(name="temperature", unit="°C", low=0.0, high=40.0, source="somebody 1901")


@pytest.mark.parametrize("temperature_c", [0.0, 20.0, 40.0])
def test_both_ends_belong_to_a_range(temperature_c: float) -> None:
    within(BATH, temperature_c=temperature_c)


@pytest.mark.parametrize("temperature_c", [-0.001, 40.001, math.nan, math.inf, -math.inf])
def test_what_lies_outside_or_is_no_number_is_refused(temperature_c: float) -> None:
    with pytest.raises(OutOfRange):
        within(BATH, temperature_c=temperature_c)


def test_a_refusal_names_the_field_the_value_and_the_bounds() -> None:
    with pytest.raises(OutOfRange) as refusal:
        within(BATH, inlet_c=20.0, outlet_c=77.0)

    assert refusal.value.field == "outlet_c"
    assert str(refusal.value) == "The temperature of 77 °C is outside 0 to 40 °C (somebody 1901)."


def test_an_array_passes_whole_or_names_its_first_offender() -> None:
    within(BATH, temperature_c=np.array([0.0, 12.5, 40.0]))

    with pytest.raises(OutOfRange) as refusal:
        within(BATH, temperature_c=np.array([12.0, math.nan, 77.0]))

    assert math.isnan(refusal.value.value)
    assert refusal.value.field == "temperature_c"


def test_an_empty_array_has_nothing_outside() -> None:
    within(BATH, temperature_c=np.array([]))


def test_numbers_leave_as_pythons_own_and_arrays_as_they_are() -> None:
    array = np.array([1.0, 2.0])

    assert type(plain(np.float64(1.5))) is float
    assert plain(array) is array
