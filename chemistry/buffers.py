"""The pH of buffers as it moves with temperature.

Phthalate, phosphate, borax and carbonate: JIS Z 8802 as printed on an instrument maker's page,
alike with the NBS/NIST standards. The technical 7.00 and 10.01: an instrument manual's table. A
bottle marked "7" may be either the technical 7.00 (7.02 at 20 °C, 7.06 at 10 °C) or the
phosphate 6.86; carbonate is printed as 10.01 or 10.02. The bottle's own table goes first.
"""

from enum import StrEnum
from typing import Final

import numpy as np

from chemistry.constants import KELVIN_AT_ZERO_CELSIUS
from chemistry.domain import Floats, Number, Range, plain, within

PHTHALATE_TEMPERATURE: Final = Range(
    name="temperature", unit="°C", low=0.0, high=50.0, source="Hetzer et al. 1977"
)


class Buffer(StrEnum):
    """A reference solution, by what it is made of."""

    PHTHALATE = "phthalate 4.01"
    PHOSPHATE = "phosphate 6.86"
    TECHNICAL_7 = "technical 7.00"
    BORAX = "borax 9.18"
    CARBONATE = "carbonate 10.01"
    TECHNICAL_10 = "technical 10.01"


_AT_C: Final = np.array([0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0])
_TABLE: Final[dict[Buffer, Floats]] = {
    Buffer.PHTHALATE: np.array([4.01, 4.01, 4.00, 4.00, 4.00, 4.01, 4.01, 4.02, 4.03]),
    Buffer.PHOSPHATE: np.array([6.98, 6.95, 6.92, 6.90, 6.88, 6.86, 6.85, 6.84, 6.84]),
    Buffer.BORAX: np.array([9.46, 9.39, 9.33, 9.27, 9.22, 9.18, 9.14, 9.10, 9.07]),
    Buffer.CARBONATE: np.array([10.32, 10.25, 10.18, 10.12, 10.07, 10.02, 9.97, 9.93]),
}
_TECHNICAL_AT_C: Final = np.array([0.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0])
_TECHNICAL: Final[dict[Buffer, Floats]] = {
    Buffer.TECHNICAL_7: np.array([7.12, 7.06, 7.04, 7.02, 7.00, 6.99, 6.99, 6.98]),
    Buffer.TECHNICAL_10: np.array([10.32, 10.18, 10.12, 10.06, 10.01, 9.97, 9.93, 9.89]),
}


def temperatures(buffer: Buffer) -> Range:
    """Return where the buffer's table is printed; beyond it nothing is said."""
    return Range(
        name="temperature of the buffer",
        unit="°C",
        low=0.0,
        high=float(_printed(buffer)[0][-1]),
        source=f"table of {buffer.value}",
    )


def buffer_ph(buffer: Buffer, *, temperature_c: Number) -> Number:
    """Return the buffer's pH, on a straight line between the printed temperatures.

    Raises:
        OutOfRange: beyond the table.
    """
    within(temperatures(buffer), temperature_c=temperature_c)
    at_c, ph = _printed(buffer)
    read: Number = np.interp(temperature_c, at_c, ph)
    return plain(read)


def phthalate_ph(*, temperature_c: Number) -> Number:
    """Return the primary standard's pH(S), 0.05 mol/kg; Hetzer et al. (1977), J. Res. NBS 81A:21.

    The older equation of Hamer et al. (1946) is 0.0015 lower at 25 °C.
    """
    within(PHTHALATE_TEMPERATURE, temperature_c=temperature_c)
    kelvin = temperature_c + KELVIN_AT_ZERO_CELSIUS
    return 2073.44 / kelvin - 13.3270 + 0.045199 * kelvin - 3.4846e-5 * (kelvin * kelvin)


def _printed(buffer: Buffer) -> tuple[Floats, Floats]:
    if buffer in _TECHNICAL:
        return _TECHNICAL_AT_C, _TECHNICAL[buffer]
    ph = _TABLE[buffer]
    return _AT_C[: len(ph)], ph
