"""Electrode slope."""

import pytest

from chemistry.domain import OutOfRange
from chemistry.electrode import nernst_slope_mv, slope_share


# ln10 R T / F, printed in electrode handbooks as 54.20, 58.17, 59.16, 61.54 mV.
@pytest.mark.parametrize(
    ("temperature_c", "printed_mv"), [(0, 54.20), (20, 58.17), (25, 59.16), (37, 61.54)]
)
def test_the_ideal_slope_is_the_printed_one(temperature_c: float, printed_mv: float) -> None:
    assert nernst_slope_mv(temperature_c=temperature_c) == pytest.approx(printed_mv, abs=0.006)


def test_a_tired_electrode_spans_less() -> None:
    # Buffers 7.00 and 4.01 at 25 °C; an ideal electrode spans 2.99 x 59.16 = 176.9 mV.
    share = slope_share(first_ph=7.00, first_mv=0, second_ph=4.01, second_mv=160, temperature_c=25)

    assert share == pytest.approx(160 / 176.9, abs=1e-3)


def test_two_equal_buffers_make_no_slope() -> None:
    with pytest.raises(OutOfRange, match="gap between"):
        slope_share(first_ph=7, first_mv=0, second_ph=7, second_mv=1, temperature_c=25)
