"""What a pH electrode should show between two buffers, and what it then says of a water.

Nernst slope ln10·R·T/F with the exact SI constants. Slope windows of 92-102 %, 95-105 % and
90-105 % are quoted in many forms; no primary text was found, so ``SLOPE_SHARES`` and ``OFFSET_MV``
are from memory, unverified, and a keeper's own go first. A third buffer within 0.1 pH after a
two-point calibration is found in operators' training texts.
"""

from dataclasses import dataclass
from typing import Final

from chemistry.constants import FARADAY_C_MOL, GAS_CONSTANT_J_MOL_K, KELVIN_AT_ZERO_CELSIUS
from chemistry.domain import Number, Range, within
from chemistry.elementary import LN_10

TEMPERATURE: Final = Range(name="temperature", unit="°C", low=0.0, high=100.0)
PH: Final = Range(name="pH of the buffer", unit="", low=0.0, high=14.0)
BUFFER_GAP: Final = Range(name="gap between the buffers", unit="pH", low=1.0, high=14.0)
MILLIVOLTS: Final = Range(name="electrode potential", unit="mV", low=-1000.0, high=1000.0)
# An electrode that spans less than half of the ideal reads nothing but its own decay.
USABLE_SHARE: Final = Range(name="slope as a share of the ideal", unit="", low=0.5, high=1.5)

ZERO_PH: Final = 7.0

SLOPE_SHARES: Final = Range(name="slope", unit="", low=0.92, high=1.05, source="from memory")
OFFSET_MV: Final = Range(
    name="offset at pH 7", unit="mV", low=-30.0, high=30.0, source="from memory"
)
THIRD_BUFFER_PH: Final = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration:
    """A line through two buffers: its slope as a share of the ideal, its millivolts at pH 7."""

    slope_share: float
    offset_mv: float


def nernst_slope_mv(*, temperature_c: Number) -> Number:
    """Return the ideal millivolts per pH (59.16 at 25 °C)."""
    within(TEMPERATURE, temperature_c=temperature_c)
    kelvin = temperature_c + KELVIN_AT_ZERO_CELSIUS
    return (1000 * LN_10 * GAS_CONSTANT_J_MOL_K / FARADAY_C_MOL) * kelvin


def slope_share(
    *, first_ph: float, first_mv: float, second_ph: float, second_mv: float, temperature_c: float
) -> float:
    """Return the measured slope as a share of the ideal; a good electrode is near 1."""
    within(PH, first_ph=first_ph, second_ph=second_ph)
    within(BUFFER_GAP, second_ph=abs(second_ph - first_ph))
    measured_mv = -(second_mv - first_mv) / (second_ph - first_ph)
    return measured_mv / nernst_slope_mv(temperature_c=temperature_c)


def calibrated(
    *, first_ph: float, first_mv: float, second_ph: float, second_mv: float, temperature_c: float
) -> Calibration:
    """Return the line through two buffers, both at ``temperature_c``.

    Raises:
        OutOfRange: buffers less than 1 pH apart, or a slope no electrode has.
    """
    within(MILLIVOLTS, first_mv=first_mv, second_mv=second_mv)
    share = slope_share(
        first_ph=first_ph,
        first_mv=first_mv,
        second_ph=second_ph,
        second_mv=second_mv,
        temperature_c=temperature_c,
    )
    within(USABLE_SHARE, second_mv=share)
    slope_mv = share * nernst_slope_mv(temperature_c=temperature_c)
    return Calibration(slope_share=share, offset_mv=first_mv + slope_mv * (first_ph - ZERO_PH))


def ph_from_mv(*, reading_mv: Number, calibration: Calibration, temperature_c: Number) -> Number:
    """Return the pH of a water at ``temperature_c``: the slope follows the temperature.

    Only the electrode is corrected; the water's own pH moves with temperature by itself.
    """
    within(MILLIVOLTS, reading_mv=reading_mv)
    slope_mv = nernst_slope_mv(temperature_c=temperature_c) * calibration.slope_share
    return ZERO_PH - (reading_mv - calibration.offset_mv) / slope_mv


def faults(calibration: Calibration) -> tuple[str, ...]:
    """Return a sentence for each thing outside the usual windows, none for a sound electrode."""
    sentences = []
    if calibration.slope_share not in SLOPE_SHARES:
        sentences.append(
            f"The slope is {calibration.slope_share:.0%} of the ideal; "
            f"{SLOPE_SHARES.low:.0%} to {SLOPE_SHARES.high:.0%} is usual (from memory): clean the "
            "electrode and repeat with fresh buffers."
        )
    if calibration.offset_mv not in OFFSET_MV:
        sentences.append(
            f"The offset at pH 7 is {calibration.offset_mv:+.0f} mV; within "
            f"{OFFSET_MV.high:.0f} mV of zero is usual (from memory): check the buffers' bottles, "
            "then the filling of the electrode."
        )
    return tuple(sentences)
