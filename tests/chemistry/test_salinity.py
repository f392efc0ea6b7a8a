"""Salinity, density and specific gravity against UNESCO and TEOS-10 check values."""

import gsw
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.domain import OutOfRange
from chemistry.salinity import (
    SIXTY_FAHRENHEIT_C,
    conductivity_ms_cm,
    density_kg_l,
    practical_salinity,
    salinity_from_compensated,
    salinity_from_specific_gravity,
    salt_share,
    specific_gravity,
)
from tests.chemistry import unesco44

T68_PER_T90 = 1.00024


def test_a_compensated_meter_is_read_back_to_what_it_measured() -> None:
    shown = 47.918 / (1 + 0.02 * (20 - 25))  # sea water at 20 °C, compensated by 2 % per °C

    assert salinity_from_compensated(
        conductivity_25_ms_cm=shown, temperature_c=20.0, compensation_per_c=0.02
    ) == pytest.approx(35, abs=1e-3)


@given(compensation=st.floats(min_value=0, max_value=0.04))
def test_at_25_degrees_compensation_changes_nothing(compensation: float) -> None:
    assert salinity_from_compensated(
        conductivity_25_ms_cm=53.071, temperature_c=25.0, compensation_per_c=compensation
    ) == pytest.approx(35, abs=1e-3)


def test_the_official_brackish_check_value() -> None:
    # TEOS-10 check cast gsw_cv_v3_0, third profile.
    assert conductivity_ms_cm(salinity_g_kg=6.568259, temperature_c=10.046) == pytest.approx(
        8.21927591, abs=1e-7
    )


def test_sea_water_at_25_conducts_53_millisiemens() -> None:
    # USGS TM 1-D3 quotes 53.087.
    assert conductivity_ms_cm(salinity_g_kg=35, temperature_c=25) == pytest.approx(53.087, abs=0.02)


def test_three_figures_for_sea_water_at_25_are_all_in_print() -> None:
    # Contradictory prints: 53.065 (25 °C taken on IPTS-68), 53.071 (ITS-90), 53.087 (USGS). The
    # last means S 35.012, so the difference is harmless.
    on_1968 = conductivity_ms_cm(salinity_g_kg=35.0, temperature_c=25 / T68_PER_T90)
    on_1990 = conductivity_ms_cm(salinity_g_kg=35.0, temperature_c=25.0)

    assert (on_1968, on_1990) == pytest.approx((53.0648, 53.0710), abs=1e-4)
    assert practical_salinity(conductivity_ms_cm=53.087, temperature_c=25.0) == pytest.approx(
        35.012, abs=1e-3
    )


# Computed with gsw 3.6.23 at the surface, ITS-90.
@pytest.mark.parametrize(
    ("salinity_g_kg", "at_15", "at_20", "at_25"),
    [(5, 7.2009, 8.0667, 8.9599), (16, 21.1134, 23.6150, 26.1941), (40, 48.3387, 53.951, 59.7339)],
)
def test_conductivities_of_the_table(
    salinity_g_kg: float, at_15: float, at_20: float, at_25: float
) -> None:
    row = [
        conductivity_ms_cm(salinity_g_kg=salinity_g_kg, temperature_c=t) for t in (15.0, 20.0, 25.0)
    ]

    assert row == pytest.approx([at_15, at_20, at_25], abs=1e-4)


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


@pytest.mark.parametrize(
    ("salinity_g_kg", "t68_c", "printed_kg_m3"),
    [(35, 5, 1027.67547), (35, 25, 1023.34306), (0, 5, 999.96675), (0, 25, 997.04796)],
)
def test_the_older_equation_of_state_is_written_out_rightly(
    salinity_g_kg: float, t68_c: float, printed_kg_m3: float
) -> None:
    assert unesco44.density_kg_m3(salinity_g_kg, t68_c) == pytest.approx(printed_kg_m3, abs=1e-5)


@given(
    salinity_g_kg=st.floats(min_value=0, max_value=42),
    temperature_c=st.floats(min_value=0, max_value=35),
)
def test_two_equations_of_state_agree_over_the_whole_range(
    salinity_g_kg: float, temperature_c: float
) -> None:
    older = unesco44.density_kg_m3(salinity_g_kg, temperature_c * T68_PER_T90)
    density = density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)

    assert 1000 * density == pytest.approx(older, abs=0.01)


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


@given(
    salinity_g_kg=st.floats(min_value=0, max_value=41),
    temperature_c=st.floats(min_value=-2, max_value=40),
)
def test_saltier_water_is_heavier_and_conducts_more(
    salinity_g_kg: float, temperature_c: float
) -> None:
    saltier = salinity_g_kg + 0.5

    assert density_kg_l(salinity_g_kg=saltier, temperature_c=temperature_c) > density_kg_l(
        salinity_g_kg=salinity_g_kg, temperature_c=temperature_c
    )
    assert conductivity_ms_cm(
        salinity_g_kg=saltier, temperature_c=temperature_c
    ) > conductivity_ms_cm(salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)


def test_sea_water_is_35_grams_of_salt_in_a_kilogram() -> None:
    # Reference Composition (Millero et al. 2008): 35.16504 g/kg.
    assert 1000 * salt_share(35.0) == pytest.approx(35.16504)


def test_a_column_of_readings_is_read_like_each_of_them() -> None:
    gravities = np.array([1.012, 1.020, 1.025])
    salinities = salinity_from_specific_gravity(
        specific_gravity=gravities, water_c=np.full(3, 25.0), reference_c=np.full(3, 25.0)
    )

    assert salinities == pytest.approx(
        [
            salinity_from_specific_gravity(specific_gravity=g, water_c=25.0, reference_c=25.0)
            for g in (1.012, 1.020, 1.025)
        ],
        abs=1e-9,
    )


def test_one_bad_gravity_in_a_column_is_named() -> None:
    with pytest.raises(OutOfRange, match=r"1\.05") as refusal:
        salinity_from_specific_gravity(
            specific_gravity=np.array([1.02, 1.05]),
            water_c=np.full(2, 25.0),
            reference_c=np.full(2, 25.0),
        )

    assert refusal.value.field == "specific_gravity"


def test_what_no_sea_water_shows_is_refused() -> None:
    with pytest.raises(OutOfRange):
        salinity_from_specific_gravity(specific_gravity=1.05, water_c=25, reference_c=25)
    with pytest.raises(OutOfRange):
        salinity_from_specific_gravity(specific_gravity=0.99, water_c=25, reference_c=25)
    with pytest.raises(OutOfRange):
        practical_salinity(conductivity_ms_cm=80, temperature_c=25)


def test_a_number_is_answered_with_a_plain_number() -> None:
    # What reaches pages is written out: Python's own float, never one of NumPy's.
    answers = (
        practical_salinity(conductivity_ms_cm=53.0, temperature_c=25.0),
        conductivity_ms_cm(salinity_g_kg=35.0, temperature_c=25.0),
        density_kg_l(salinity_g_kg=35.0, temperature_c=25.0),
        specific_gravity(salinity_g_kg=35.0, water_c=25.0, reference_c=25.0),
        salinity_from_specific_gravity(specific_gravity=1.02, water_c=25.0, reference_c=25.0),
    )

    assert {type(answer) for answer in answers} == {float}
