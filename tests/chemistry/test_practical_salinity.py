"""PSS-78 against its own printed checks and against the formula written out."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from chemistry.salinity import practical_salinity, salinity_from_ratio
from tests.chemistry import unesco44

T68_PER_T90 = 1.00024

# Fofonoff & Millard (1983), UNESCO Tech. Pap. Mar. Sci. 44, found in the documentation of two
# R packages; the last ratio computed with seawater 3.3.5. Temperatures are IPTS-68.
PRINTED = [
    (1.0, 15.0, 0.0, 35.0, 1e-4),
    (1.2, 20.0, 2000.0, 37.2456, 1e-4),
    (0.65, 5.0, 1500.0, 27.9953, 1e-4),
    (1.888091, 40.0, 10_000.0, 40.0, 1e-3),
    (0.6990725, 10.0, 0.0, 26.8609, 1e-4),
    (0.654990, 10.0, 0.0, 25.0, 1e-4),
]


@pytest.mark.parametrize(("ratio", "t68_c", "pressure_dbar", "printed", "tolerance"), PRINTED)
def test_conductivity_ratio_gives_the_printed_salinity(
    ratio: float, t68_c: float, pressure_dbar: float, printed: float, tolerance: float
) -> None:
    salinity = salinity_from_ratio(
        conductivity_ratio=ratio, temperature_t68_c=t68_c, pressure_dbar=pressure_dbar
    )

    assert salinity == pytest.approx(printed, abs=tolerance)
    assert unesco44.practical_salinity(ratio, t68_c, pressure_dbar) == pytest.approx(
        printed, abs=tolerance
    )


@given(
    ratio=st.floats(min_value=0.1, max_value=1.1),
    t68_c=st.floats(min_value=0, max_value=35),
    pressure_dbar=st.floats(min_value=0, max_value=5000),
)
def test_the_library_and_the_written_out_formula_agree(
    ratio: float, t68_c: float, pressure_dbar: float
) -> None:
    written_out = unesco44.practical_salinity(ratio, t68_c, pressure_dbar)
    # Below 2 gsw adds the extension of Hill, Dauphinee & Woods (1986).
    assume(2 < written_out < 42)

    assert salinity_from_ratio(
        conductivity_ratio=ratio, temperature_t68_c=t68_c, pressure_dbar=pressure_dbar
    ) == pytest.approx(written_out, abs=1e-6)


@pytest.mark.parametrize(
    ("ratio", "celsius", "pressure_dbar", "wrong"),
    [(1.0, 15.0, 0.0, 34.99677), (1.2, 20.0, 2000.0, 37.24144), (0.65, 5.0, 1500.0, 27.99436)],
)
def test_forgetting_the_temperature_scale_is_visible(
    ratio: float, celsius: float, pressure_dbar: float, wrong: float
) -> None:
    # Computed: the same ratios with the thermometer's ITS-90 taken for IPTS-68.
    right = salinity_from_ratio(
        conductivity_ratio=ratio, temperature_t68_c=celsius, pressure_dbar=pressure_dbar
    )
    forgotten = salinity_from_ratio(
        conductivity_ratio=ratio,
        temperature_t68_c=celsius * T68_PER_T90,
        pressure_dbar=pressure_dbar,
    )

    assert forgotten == pytest.approx(wrong, abs=1e-5)
    assert right - forgotten > 5e-4


def test_low_salinity_takes_the_extension() -> None:
    # Computed: 1.00 mS/cm at 25 °C is 0.4925 with Hill et al. (1986), 0.4932 without.
    low = practical_salinity(conductivity_ms_cm=1.0, temperature_c=25.0)
    very_low = practical_salinity(conductivity_ms_cm=0.1, temperature_c=25.0)

    assert (low, very_low) == pytest.approx((0.4925, 0.0462), abs=5e-5)
