"""Oxygen saturation against the printed table and an independent equation."""

import gsw
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.domain import OutOfRange
from chemistry.oxygen import pressure_at_altitude_atm, saturation_mg_l, saturation_share
from chemistry.salinity import density_kg_l

MG_PER_UMOL = 31.998e-3


# Benson & Krause table as printed in Standard Methods 4500-O and textbooks, mg/L.
@pytest.mark.parametrize(
    ("temperature_c", "printed"),
    [(0, 14.621), (8, 11.843), (16, 9.870), (24, 8.418), (32, 7.305), (40, 6.413)],
)
def test_fresh_water_holds_the_printed_oxygen(temperature_c: float, printed: float) -> None:
    assert saturation_mg_l(temperature_c=temperature_c) == pytest.approx(printed, abs=1e-3)


@pytest.mark.parametrize("temperature_c", [5.0, 15.0, 25.0, 30.0])
@pytest.mark.parametrize("salinity_g_kg", [0.0, 20.0, 35.0])
def test_garcia_and_gordon_hold_the_same(temperature_c: float, salinity_g_kg: float) -> None:
    # Garcia & Gordon (1992) as gsw has it, µmol/kg.
    umol_kg = float(gsw.O2sol_SP_pt(salinity_g_kg, temperature_c))
    density = density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)

    ours = saturation_mg_l(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)

    assert ours == pytest.approx(umol_kg * density * MG_PER_UMOL, rel=1e-3)


def test_older_equations_are_told_apart() -> None:
    # Weiss (1970) gives 9.067 in fresh water at 20 °C, 0.3 % lower.
    assert saturation_mg_l(temperature_c=20) != pytest.approx(9.067, abs=0.01)


def test_a_thousand_metres_up_water_holds_an_eighth_less() -> None:
    # ICAO standard atmosphere: 89.875 kPa at 1000 m (tables print 898.75 hPa).
    pressure = pressure_at_altitude_atm(altitude_m=1000)
    share = saturation_mg_l(temperature_c=25, pressure_atm=pressure) / saturation_mg_l(
        temperature_c=25
    )

    assert pressure * 1013.25 == pytest.approx(898.75, abs=0.2)
    # Moist air thins a little faster than the barometer falls.
    assert pressure - 0.005 < share < pressure


def test_a_reading_as_a_share_of_saturation() -> None:
    assert saturation_share(oxygen_mg_l=7.0, temperature_c=24) == pytest.approx(
        7.0 / 8.418, abs=1e-3
    )


@given(
    temperature_c=st.floats(min_value=0, max_value=39),
    salinity_g_kg=st.floats(min_value=0, max_value=39),
    pressure_atm=st.floats(min_value=0.6, max_value=1.05),
)
def test_warmth_salt_and_thin_air_all_take_oxygen(
    temperature_c: float, salinity_g_kg: float, pressure_atm: float
) -> None:
    here = saturation_mg_l(
        temperature_c=temperature_c, salinity_g_kg=salinity_g_kg, pressure_atm=pressure_atm
    )
    warmer = saturation_mg_l(
        temperature_c=temperature_c + 1, salinity_g_kg=salinity_g_kg, pressure_atm=pressure_atm
    )
    saltier = saturation_mg_l(
        temperature_c=temperature_c, salinity_g_kg=salinity_g_kg + 1, pressure_atm=pressure_atm
    )
    higher = saturation_mg_l(
        temperature_c=temperature_c, salinity_g_kg=salinity_g_kg, pressure_atm=pressure_atm - 0.05
    )

    assert max(warmer, saltier, higher) < here


def test_beyond_the_papers_range_is_refused() -> None:
    with pytest.raises(OutOfRange, match="Benson & Krause"):
        saturation_mg_l(temperature_c=41)
    with pytest.raises(OutOfRange):
        saturation_mg_l(temperature_c=20, pressure_atm=1013)
