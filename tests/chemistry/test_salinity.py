"""Salinity, density and specific gravity against UNESCO and TEOS-10 check values."""

import gsw
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.domain import OutOfRange
from chemistry.salinity import (
    SIXTY_FAHRENHEIT_C,
    conductivity_ms_cm,
    density_kg_l,
    practical_salinity,
    salinity_from_specific_gravity,
    specific_gravity,
)

CONDUCTIVITY_OF_35_AT_15_MS_CM = 42.914  # the conventional C(35, 15, 0), UNESCO 44
T68_PER_T90 = 1.00024


# Fofonoff & Millard (1983), UNESCO Tech. Pap. Mar. Sci. 44, at p = 0, as quoted by the
# documentation of two R packages; temperatures are IPTS-68.
@pytest.mark.parametrize(
    ("ratio", "t68_c", "printed"), [(1.0, 15, 35.0), (0.6990725, 10, 26.8609), (0.654990, 10, 25.0)]
)
def test_conductivity_ratio_gives_the_printed_salinity(
    ratio: float, t68_c: float, printed: float
) -> None:
    salinity = practical_salinity(
        conductivity_ms_cm=ratio * CONDUCTIVITY_OF_35_AT_15_MS_CM,
        temperature_c=t68_c / T68_PER_T90,
    )

    assert salinity == pytest.approx(printed, abs=1e-4)


def test_forgetting_the_temperature_scale_is_visible() -> None:
    unconverted = practical_salinity(
        conductivity_ms_cm=CONDUCTIVITY_OF_35_AT_15_MS_CM, temperature_c=15.0
    )

    assert 35.0 - unconverted == pytest.approx(0.0032, abs=3e-4)


def test_the_official_brackish_check_value() -> None:
    # TEOS-10 check cast gsw_cv_v3_0, third profile.
    assert conductivity_ms_cm(salinity_g_kg=6.568259, temperature_c=10.046) == pytest.approx(
        8.21927591, abs=1e-7
    )


def test_sea_water_at_25_conducts_53_millisiemens() -> None:
    # USGS TM 1-D3 quotes 53.087.
    assert conductivity_ms_cm(salinity_g_kg=35, temperature_c=25) == pytest.approx(53.087, abs=0.02)


def test_the_library_is_the_one_its_authors_checked() -> None:
    # TEOS-10 check cast gsw_cv_v3_0, first point (lon 142, lat 11, p 0).
    absolute = gsw.SA_from_SP(34.30628739, 0, 142, 11)

    assert absolute == pytest.approx(34.46823643, abs=1e-7)
    assert gsw.rho(absolute, gsw.CT_from_t(absolute, 27.962, 0), 0) == pytest.approx(
        1021.88630445, abs=1e-6
    )


# EOS-80 (UNESCO 38/44; Gill 1982, table A3.2) at p = 0, IPTS-68. TEOS-10 is a later equation
# of state and stands within 0.005 kg/m³ of it.
@pytest.mark.parametrize(
    ("salinity_g_kg", "t68_c", "printed_kg_m3"),
    [(35, 5, 1027.67547), (35, 25, 1023.34306), (0, 5, 999.96675), (0, 25, 997.04796)],
)
def test_density_is_the_printed_one(
    salinity_g_kg: float, t68_c: float, printed_kg_m3: float
) -> None:
    density = density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=t68_c / T68_PER_T90)

    assert 1000 * density == pytest.approx(printed_kg_m3, abs=0.005)


def test_gibbs_function_check_value() -> None:
    # Feistel (2008), table 21: standard sea water at 0 °C, atmospheric pressure.
    assert 1000 * density_kg_l(salinity_g_kg=35, temperature_c=0) == pytest.approx(
        1028.10720, abs=1e-4
    )


# 25/25 from the printed EOS-80 densities above; the other two agree between EOS-80 (seawater
# 3.3.5) and TEOS-10 (gsw 3.6.23).
def test_sea_water_reads_differently_by_reference() -> None:
    at_25_25 = specific_gravity(salinity_g_kg=35, water_c=25, reference_c=25)
    at_60_60 = specific_gravity(
        salinity_g_kg=35, water_c=SIXTY_FAHRENHEIT_C, reference_c=SIXTY_FAHRENHEIT_C
    )
    at_20_4 = specific_gravity(salinity_g_kg=35, water_c=20, reference_c=4)

    assert at_25_25 == pytest.approx(1023.34306 / 997.04796, abs=1e-4)
    assert (at_60_60, at_20_4) == pytest.approx((1.0269, 1.0248), abs=1e-4)


def test_a_bare_one_point_oh_two_five_is_anything_between_32_and_37() -> None:
    low = salinity_from_specific_gravity(
        specific_gravity=1.025, water_c=SIXTY_FAHRENHEIT_C, reference_c=SIXTY_FAHRENHEIT_C
    )
    high = salinity_from_specific_gravity(specific_gravity=1.025, water_c=25, reference_c=4)

    assert (low, high) == pytest.approx((32.58, 37.16), abs=0.01)


@given(
    salinity_g_kg=st.floats(min_value=0.01, max_value=41.9),
    water_c=st.floats(min_value=10, max_value=30),
    reference_c=st.sampled_from([4.0, 15.0, SIXTY_FAHRENHEIT_C, 20.0, 25.0]),
)
def test_gravity_and_back_is_the_same_salinity(
    salinity_g_kg: float, water_c: float, reference_c: float
) -> None:
    gravity = specific_gravity(
        salinity_g_kg=salinity_g_kg, water_c=water_c, reference_c=reference_c
    )
    back = salinity_from_specific_gravity(
        specific_gravity=gravity, water_c=water_c, reference_c=reference_c
    )

    assert back == pytest.approx(salinity_g_kg, abs=1e-8)


@given(
    salinity_g_kg=st.floats(min_value=0.1, max_value=41.9),
    temperature_c=st.floats(min_value=0, max_value=35),
)
def test_conductivity_and_back_is_the_same_salinity(
    salinity_g_kg: float, temperature_c: float
) -> None:
    conductivity = conductivity_ms_cm(salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)

    assert practical_salinity(
        conductivity_ms_cm=conductivity, temperature_c=temperature_c
    ) == pytest.approx(salinity_g_kg, abs=1e-6)


def test_what_no_sea_water_shows_is_refused() -> None:
    with pytest.raises(OutOfRange):
        salinity_from_specific_gravity(specific_gravity=1.05, water_c=25, reference_c=25)
    with pytest.raises(OutOfRange):
        salinity_from_specific_gravity(specific_gravity=0.99, water_c=25, reference_c=25)
    with pytest.raises(OutOfRange):
        practical_salinity(conductivity_ms_cm=80, temperature_c=25)
