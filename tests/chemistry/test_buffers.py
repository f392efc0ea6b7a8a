"""Buffers by temperature against printed tables and the primary equation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.buffers import Buffer, buffer_ph, phthalate_ph, temperatures
from chemistry.domain import OutOfRange

# Found: JIS Z 8802 as printed by an instrument maker, and an instrument manual's table.
PRINTED = {
    Buffer.PHTHALATE: {0: 4.01, 10: 4.00, 20: 4.00, 25: 4.01, 40: 4.03},
    Buffer.PHOSPHATE: {0: 6.98, 10: 6.92, 20: 6.88, 25: 6.86, 40: 6.84},
    Buffer.BORAX: {0: 9.46, 10: 9.33, 20: 9.22, 25: 9.18, 40: 9.07},
    Buffer.CARBONATE: {0: 10.32, 10: 10.18, 25: 10.02, 35: 9.93},
    Buffer.TECHNICAL_7: {0: 7.12, 10: 7.06, 20: 7.02, 25: 7.00, 40: 6.98},
    Buffer.TECHNICAL_10: {0: 10.32, 10: 10.18, 20: 10.06, 25: 10.01, 40: 9.89},
}


@pytest.mark.parametrize(
    ("buffer", "temperature_c", "printed"),
    [(buffer, t, ph) for buffer, row in PRINTED.items() for t, ph in row.items()],
)
def test_at_a_printed_temperature_it_is_the_printed_ph(
    buffer: Buffer, temperature_c: float, printed: float
) -> None:
    assert buffer_ph(buffer, temperature_c=float(temperature_c)) == pytest.approx(printed, abs=1e-9)


def test_a_bottle_marked_seven_may_be_either_of_two() -> None:
    apart = buffer_ph(Buffer.TECHNICAL_7, temperature_c=25.0) - buffer_ph(
        Buffer.PHOSPHATE, temperature_c=25.0
    )

    assert apart == pytest.approx(0.14, abs=1e-9)


# Hetzer et al. 1977 and Hamer et al. 1946, both found in abstracts; values computed.
def test_the_primary_equation_of_phthalate() -> None:
    def hamer(temperature_c: float) -> float:
        kelvin = temperature_c + 273.16
        return 1336.08 / kelvin - 5.2678 + 0.016069 * kelvin

    at = np.array([20.0, 25.0, 30.0])
    assert phthalate_ph(temperature_c=at) == pytest.approx((4.0015, 4.0059, 4.0124), abs=2e-4)
    assert hamer(25.0) == pytest.approx(4.0044, abs=2e-4)
    assert phthalate_ph(temperature_c=25.0) != pytest.approx(hamer(25.0), abs=1e-3)


@given(buffer=st.sampled_from(Buffer), share=st.floats(0, 1))
def test_between_printed_temperatures_it_stays_between_their_ph(
    buffer: Buffer, share: float
) -> None:
    temperature_c = share * temperatures(buffer).high
    row = PRINTED[buffer].values()

    assert min(row) - 0.011 <= buffer_ph(buffer, temperature_c=temperature_c) <= max(row)


def test_beyond_its_table_a_buffer_says_nothing() -> None:
    with pytest.raises(OutOfRange, match="carbonate"):
        buffer_ph(Buffer.CARBONATE, temperature_c=36.0)
