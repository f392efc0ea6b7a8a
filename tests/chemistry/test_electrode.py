"""Electrodes: the ideal slope, the measured one, and the pH it then means."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.domain import OutOfRange
from chemistry.electrode import (
    Calibration,
    calibrated,
    faults,
    nernst_slope_mv,
    ph_from_mv,
    slope_share,
)


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


# Computed with CODATA constants, mV per pH.
@pytest.mark.parametrize(
    ("temperature_c", "ideal_mv"),
    [(0.0, 54.199), (10.0, 56.183), (25.0, 59.159), (30.0, 60.151), (40.0, 62.136)],
)
def test_the_ideal_slope_is_the_tabled_one(temperature_c: float, ideal_mv: float) -> None:
    assert nernst_slope_mv(temperature_c=temperature_c) == pytest.approx(ideal_mv, abs=1e-3)


def test_a_slope_at_another_temperature_is_told_apart() -> None:
    # Judging a reading at 10 °C by the slope of 25 °C makes a sound electrode look tired: 95 %.
    ideal_mv = nernst_slope_mv(temperature_c=10.0) * 3.06
    right = slope_share(
        first_ph=7.06, first_mv=0.0, second_ph=4.00, second_mv=ideal_mv, temperature_c=10.0
    )
    wrong = slope_share(
        first_ph=7.06, first_mv=0.0, second_ph=4.00, second_mv=ideal_mv, temperature_c=25.0
    )

    assert right == pytest.approx(1.0)
    assert wrong == pytest.approx(0.95, abs=0.002)


@given(
    share=st.floats(0.6, 1.2),
    offset_mv=st.floats(-60, 60),
    ph=st.floats(2, 12),
    buffers_c=st.floats(5, 35),
    water_c=st.floats(0, 40),
)
def test_an_electrode_of_known_line_is_read_back(
    share: float, offset_mv: float, ph: float, buffers_c: float, water_c: float
) -> None:
    def millivolts(at_ph: float, temperature_c: float) -> float:
        return offset_mv - share * nernst_slope_mv(temperature_c=temperature_c) * (at_ph - 7)

    line = calibrated(
        first_ph=7.0,
        first_mv=millivolts(7.0, buffers_c),
        second_ph=4.01,
        second_mv=millivolts(4.01, buffers_c),
        temperature_c=buffers_c,
    )
    read = ph_from_mv(reading_mv=millivolts(ph, water_c), calibration=line, temperature_c=water_c)

    assert line.slope_share == pytest.approx(share)
    assert line.offset_mv == pytest.approx(offset_mv, abs=1e-9)
    assert read == pytest.approx(ph)


def test_what_is_outside_the_usual_windows_is_said() -> None:
    # Windows from memory, unverified.
    sound = Calibration(slope_share=0.97, offset_mv=-4.0)
    tired = Calibration(slope_share=0.85, offset_mv=45.0)

    assert faults(sound) == ()
    assert len(faults(tired)) == 2
    assert "85%" in faults(tired)[0]


def test_a_dead_electrode_is_refused() -> None:
    with pytest.raises(OutOfRange, match="slope"):
        calibrated(first_ph=7.0, first_mv=0.0, second_ph=4.0, second_mv=5.0, temperature_c=25.0)
