"""What a pH electrode should show between two buffers.

Nernst slope ln10·R·T/F with the exact SI constants. Slope windows of 90-105 % are quoted in
many forms; no primary text was found, so the window is the keeper's.
"""

import math
from typing import Final

from chemistry.constants import FARADAY_C_MOL, GAS_CONSTANT_J_MOL_K, KELVIN_AT_ZERO_CELSIUS
from chemistry.domain import Range, within

TEMPERATURE: Final = Range(name="temperature", unit="°C", low=0.0, high=100.0)
PH: Final = Range(name="pH of the buffer", unit="", low=0.0, high=14.0)
BUFFER_GAP: Final = Range(name="gap between the buffers", unit="pH", low=1.0, high=14.0)


def nernst_slope_mv(*, temperature_c: float) -> float:
    """Return the ideal millivolts per pH (59.16 at 25 °C)."""
    within(TEMPERATURE, temperature_c=temperature_c)
    kelvin = temperature_c + KELVIN_AT_ZERO_CELSIUS
    return 1000 * math.log(10) * GAS_CONSTANT_J_MOL_K * kelvin / FARADAY_C_MOL


def slope_share(
    *, first_ph: float, first_mv: float, second_ph: float, second_mv: float, temperature_c: float
) -> float:
    """Return the measured slope as a share of the ideal; a good electrode is near 1."""
    within(PH, first_ph=first_ph, second_ph=second_ph)
    within(BUFFER_GAP, second_ph=abs(second_ph - first_ph))
    measured_mv = -(second_mv - first_mv) / (second_ph - first_ph)
    return measured_mv / nernst_slope_mv(temperature_c=temperature_c)
