"""Oxygen that water holds in balance with moist air.

Benson & Krause (1984), Limnol. Oceanogr. 29:620-632, the equation of Standard Methods 4500-O
and of the USGS tables since 2011: 0-40 °C, salinity 0-40. The short vapour-pressure equation
is from memory, unverified; it agrees with the Green-Carritt form to 0.1 %. Older tables print
10.2 and 9.2 mg/L for 15 and 20 °C where this gives 10.1 and 9.1.
"""

from typing import Final

from chemistry.constants import DIOXYGEN_G_MOL, KELVIN_AT_ZERO_CELSIUS
from chemistry.domain import Number, Range, within
from chemistry.elementary import exp, ln

TEMPERATURE: Final = Range(
    name="temperature", unit="°C", low=0.0, high=40.0, source="Benson & Krause 1984"
)
SALINITY: Final = Range(
    name="salinity", unit="g/kg", low=0.0, high=40.0, source="Benson & Krause 1984"
)
PRESSURE: Final = Range(name="air pressure", unit="atm", low=0.5, high=1.1)
ALTITUDE: Final = Range(name="altitude", unit="m", low=-430.0, high=5000.0)
OXYGEN: Final = Range(name="dissolved oxygen", unit="mg/L", low=0.0, high=60.0)


def saturation_mg_l(
    *,
    temperature_c: Number,
    salinity_g_kg: Number | float = 0.0,
    pressure_atm: Number | float = 1.0,
) -> Number:
    """Return mg/L in water-saturated air at the *station* pressure, not the sea-level one."""
    within(TEMPERATURE, temperature_c=temperature_c)
    within(SALINITY, salinity_g_kg=salinity_g_kg)
    within(PRESSURE, pressure_atm=pressure_atm)
    return _at_one_atmosphere(temperature_c, salinity_g_kg) * _pressure_factor(
        temperature_c, pressure_atm
    )


def saturation_share(
    *,
    oxygen_mg_l: Number,
    temperature_c: Number,
    salinity_g_kg: Number | float = 0.0,
    pressure_atm: Number | float = 1.0,
) -> Number:
    """Return a reading as a share of saturation; 1 is in balance with the air."""
    within(OXYGEN, oxygen_mg_l=oxygen_mg_l)
    return oxygen_mg_l / saturation_mg_l(
        temperature_c=temperature_c, salinity_g_kg=salinity_g_kg, pressure_atm=pressure_atm
    )


def umol_l_from_mg_l(*, oxygen_mg_l: Number) -> Number:
    """Return µmol/L; divide by the density in kg/L for µmol/kg."""
    return oxygen_mg_l * 1000 / DIOXYGEN_G_MOL


def pressure_at_altitude_atm(*, altitude_m: Number) -> Number:
    """Return the ICAO standard atmosphere's pressure (constants from memory, unverified).

    A day's weather moves it by 2-3 % either way: a barometer at the place is better.
    """
    within(ALTITUDE, altitude_m=altitude_m)
    return exp(5.25588 * ln(1 - 2.25577e-5 * altitude_m))


def vapour_pressure_atm(*, temperature_c: Number) -> Number:
    """Return the pressure of water vapour above fresh water."""
    within(TEMPERATURE, temperature_c=temperature_c)
    kelvin = temperature_c + KELVIN_AT_ZERO_CELSIUS
    return exp(11.8571 - 3840.70 / kelvin - 216961 / (kelvin * kelvin))


def _at_one_atmosphere(temperature_c: Number, salinity_g_kg: Number | float) -> Number:
    per_kelvin = 1 / (temperature_c + KELVIN_AT_ZERO_CELSIUS)
    fresh = -139.34411 + per_kelvin * (
        1.575701e5
        + per_kelvin * (-6.642308e7 + per_kelvin * (1.243800e10 - 8.621949e11 * per_kelvin))
    )
    salting_out = (0.017674 + per_kelvin * (-10.754 + 2140.7 * per_kelvin)) * salinity_g_kg
    return exp(fresh - salting_out)


def _pressure_factor(temperature_c: Number, pressure_atm: Number | float) -> Number:
    theta = 0.000975 + temperature_c * (-1.426e-5 + 6.436e-8 * temperature_c)
    vapour_atm = vapour_pressure_atm(temperature_c=temperature_c)
    here = (pressure_atm - vapour_atm) * (1 - theta * pressure_atm)
    return here / ((1 - vapour_atm) * (1 - theta))
