"""Oxygen that water holds in balance with moist air.

Benson & Krause (1984), Limnol. Oceanogr. 29:620-632, the equation of Standard Methods 4500-O
and of the USGS tables since 2011: 0-40 °C, salinity 0-40. The short vapour-pressure equation
is from memory, unverified; it agrees with the Green-Carritt form to 0.1 %. Older tables print
10.2 and 9.2 mg/L for 15 and 20 °C where this gives 10.1 and 9.1.
"""

import math
from typing import Final

from chemistry.constants import KELVIN_AT_ZERO_CELSIUS
from chemistry.domain import Range, within

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
    *, temperature_c: float, salinity_g_kg: float = 0.0, pressure_atm: float = 1.0
) -> float:
    """Return mg/L in water-saturated air at the *station* pressure, not the sea-level one."""
    within(TEMPERATURE, temperature_c=temperature_c)
    within(SALINITY, salinity_g_kg=salinity_g_kg)
    within(PRESSURE, pressure_atm=pressure_atm)
    return _at_one_atmosphere(temperature_c, salinity_g_kg) * _pressure_factor(
        temperature_c, pressure_atm
    )


def saturation_share(
    *,
    oxygen_mg_l: float,
    temperature_c: float,
    salinity_g_kg: float = 0.0,
    pressure_atm: float = 1.0,
) -> float:
    """Return a reading as a share of saturation; 1 is in balance with the air."""
    within(OXYGEN, oxygen_mg_l=oxygen_mg_l)
    return oxygen_mg_l / saturation_mg_l(
        temperature_c=temperature_c, salinity_g_kg=salinity_g_kg, pressure_atm=pressure_atm
    )


def pressure_at_altitude_atm(*, altitude_m: float) -> float:
    """Return the ICAO standard atmosphere's pressure (constants from memory, unverified)."""
    within(ALTITUDE, altitude_m=altitude_m)
    return float((1 - 2.25577e-5 * altitude_m) ** 5.25588)


def _at_one_atmosphere(temperature_c: float, salinity_g_kg: float) -> float:
    kelvin = temperature_c + KELVIN_AT_ZERO_CELSIUS
    fresh = (
        -139.34411
        + 1.575701e5 / kelvin
        - 6.642308e7 / kelvin**2
        + 1.243800e10 / kelvin**3
        - 8.621949e11 / kelvin**4
    )
    salting_out = salinity_g_kg * (0.017674 - 10.754 / kelvin + 2140.7 / kelvin**2)
    return math.exp(fresh - salting_out)


def _pressure_factor(temperature_c: float, pressure_atm: float) -> float:
    kelvin = temperature_c + KELVIN_AT_ZERO_CELSIUS
    theta = 0.000975 - 1.426e-5 * temperature_c + 6.436e-8 * temperature_c**2
    vapour_atm = math.exp(11.8571 - 3840.70 / kelvin - 216961 / kelvin**2)
    here = (pressure_atm - vapour_atm) * (1 - theta * pressure_atm)
    return here / ((1 - vapour_atm) * (1 - theta))
