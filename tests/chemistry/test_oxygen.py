"""Oxygen saturation against the printed table and an independent equation."""

import math

import gsw
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.domain import OutOfRange
from chemistry.oxygen import (
    pressure_at_altitude_atm,
    saturation_mg_l,
    saturation_share,
    umol_l_from_mg_l,
    vapour_pressure_atm,
)
from chemistry.oxygen_criteria import EPA_1986, Fauna
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


# Computed with Benson & Krause's published coefficients: salinity 0, 10, 20, 35, 40.
@pytest.mark.parametrize(
    ("temperature_c", "tabled"),
    [
        (0.0, (14.621, 13.633, 12.712, 11.446, 11.052)),
        (15.0, (10.084, 9.484, 8.919, 8.135, 7.889)),
        (25.0, (8.263, 7.807, 7.375, 6.772, 6.582)),
        (30.0, (7.559, 7.155, 6.772, 6.237, 6.068)),
    ],
)
def test_salt_takes_oxygen_as_tabled(temperature_c: float, tabled: tuple[float, ...]) -> None:
    ours = saturation_mg_l(
        temperature_c=np.full(5, temperature_c),
        salinity_g_kg=np.array([0.0, 10.0, 20.0, 35.0, 40.0]),
    )

    assert ours == pytest.approx(tabled, abs=1e-3)


# Computed: fresh, 25 °C, pressure in mm Hg.
@pytest.mark.parametrize(
    ("mm_hg", "factor"), [(780, 1.0271), (740, 0.9729), (700, 0.9186), (600, 0.7828)]
)
def test_thin_air_takes_more_than_its_share(mm_hg: float, factor: float) -> None:
    share = saturation_mg_l(temperature_c=25.0, pressure_atm=mm_hg / 760) / saturation_mg_l(
        temperature_c=25.0
    )

    assert share == pytest.approx(factor, abs=1e-4)
    # The wrong variant, the plain ratio, is 0.3 % high at 700 mm.
    if mm_hg == 700:
        assert share != pytest.approx(700 / 760, rel=2e-3)


# Computed with the ICAO standard atmosphere: fresh and S 35 at 25 °C.
@pytest.mark.parametrize(
    ("altitude_m", "fresh", "sea"),
    [(500.0, 7.770, 6.368), (1000.0, 7.300, 5.983), (2000.0, 6.427, 5.267)],
)
def test_altitude_takes_oxygen_as_tabled(altitude_m: float, fresh: float, sea: float) -> None:
    pressure = pressure_at_altitude_atm(altitude_m=altitude_m)

    assert saturation_mg_l(temperature_c=25.0, pressure_atm=pressure) == pytest.approx(
        fresh, abs=1e-3
    )
    assert saturation_mg_l(
        temperature_c=25.0, salinity_g_kg=35.0, pressure_atm=pressure
    ) == pytest.approx(sea, abs=1e-3)


def test_an_older_equation_is_told_apart() -> None:
    # Weiss (1970), mL/L, coefficients from memory; it reproduces the printed 14.587, 9.067 and
    # 6.748 mg/L (found), 0.3 % below the equation of today.
    def weiss(temperature_c: float, salinity: float) -> float:
        t = (temperature_c + 273.15) / 100
        ml_l = math.exp(
            -173.4292 + 249.6339 / t + 143.3483 * math.log(t) - 21.8492 * t
            + salinity * (-0.033096 + 0.014259 * t - 0.0017000 * t**2)
        )  # fmt: skip
        return 1.42903 * ml_l

    for temperature_c, salinity, printed in (
        (0.0, 0.0, 14.587),
        (20.0, 0.0, 9.067),
        (25.0, 35.0, 6.748),
    ):
        ours = saturation_mg_l(temperature_c=temperature_c, salinity_g_kg=salinity)
        assert weiss(temperature_c, salinity) == pytest.approx(printed, rel=2e-3)
        assert ours != pytest.approx(printed, rel=1.5e-3)
        assert ours == pytest.approx(printed, rel=5e-3)


def test_an_older_table_is_told_apart() -> None:
    # Found in an instrument's handbook: 10.2 and 9.2 mg/L at 15 and 20 °C; today's: 10.1, 9.1.
    assert round(saturation_mg_l(temperature_c=15.0), 1) == 10.1
    assert round(saturation_mg_l(temperature_c=20.0), 1) == 9.1


def test_garcia_and_gordon_s_own_check_value_on_either_temperature_scale() -> None:
    # Found in public code: 274.610 µmol/kg at 10 °C, S 35; gsw says 274.596 as it turns ITS-90
    # into IPTS-68 first.
    ours = umol_l_from_mg_l(
        oxygen_mg_l=saturation_mg_l(temperature_c=10.0, salinity_g_kg=35.0)
    ) / density_kg_l(salinity_g_kg=35.0, temperature_c=10.0)

    assert ours == pytest.approx(274.610, rel=5e-4)
    assert float(gsw.O2sol_SP_pt(35.0, 10.0)) == pytest.approx(274.596, abs=1e-3)


def test_water_vapour_is_the_tabled_pressure() -> None:
    # From memory of steam tables: 3.169 kPa at 25 °C, 2.339 kPa at 20 °C.
    assert vapour_pressure_atm(temperature_c=25.0) * 101.325 == pytest.approx(3.169, rel=2e-3)
    assert vapour_pressure_atm(temperature_c=20.0) * 101.325 == pytest.approx(2.339, rel=2e-3)


def test_limits_of_1986_are_the_agencys() -> None:
    # Found: US EPA's own table of criteria.
    warm, cold = EPA_1986[Fauna.WARM_OTHER], EPA_1986[Fauna.COLD_EARLY]

    assert (warm.mean_30_days_mg_l, warm.mean_minimum_7_days_mg_l, warm.minimum_1_day_mg_l) == (
        5.5,
        4.0,
        3.0,
    )
    assert (cold.mean_7_days_mg_l, cold.minimum_1_day_mg_l) == (9.5, 8.0)
    assert EPA_1986.keys() == set(Fauna)


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
