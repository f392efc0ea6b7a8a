"""Salinity from conductivity, density or specific gravity, and back.

TEOS-10 (IOC, SCOR & IAPSO 2010) through gsw: PSS-78 with the extension of Hill, Dauphinee &
Woods (1986) below 2; density at atmospheric pressure from the Gibbs function, taking the
Reference Composition (a made-up mix may differ). Temperatures are ITS-90; the printed PSS-78
and EOS-80 checks are on IPTS-68 (t68 = 1.00024 t90). A specific gravity means nothing without
its two temperatures: "1.025" is anything from S 32.6 (60/60 °F) to 37.2 (25/4 °C).
"""

from typing import Final

import gsw

from chemistry.domain import OutOfRange, Range, within

SALINITY: Final = Range(
    name="salinity", unit="g/kg", low=0.0, high=42.0, source="PSS-78 and TEOS-10"
)
# IAPWS-08 goes to 120 g/kg at atmospheric pressure (from memory, unverified).
BRINE: Final = Range(name="salinity", unit="g/kg", low=0.0, high=60.0)
TEMPERATURE: Final = Range(name="temperature", unit="°C", low=-2.0, high=40.0, source="TEOS-10")
CONDUCTIVITY: Final = Range(name="conductivity", unit="mS/cm", low=0.0, high=90.0)

SIXTY_FAHRENHEIT_C: Final = (60 - 32) / 1.8

_HALVINGS: Final = 48  # 42 g/kg halved so often is 1.5e-13


def practical_salinity(*, conductivity_ms_cm: float, temperature_c: float) -> float:
    """Return salinity from conductivity *at* ``temperature_c``, not corrected to 25 °C.

    Raises:
        OutOfRange: the water is outside -2 to 40 °C or comes out above 42.
    """
    within(CONDUCTIVITY, conductivity_ms_cm=conductivity_ms_cm)
    within(TEMPERATURE, temperature_c=temperature_c)
    salinity_g_kg = float(gsw.SP_from_C(conductivity_ms_cm, temperature_c, 0.0))
    if salinity_g_kg not in SALINITY:
        raise OutOfRange(SALINITY, field="conductivity_ms_cm", value=salinity_g_kg)
    return salinity_g_kg


def conductivity_ms_cm(*, salinity_g_kg: float, temperature_c: float) -> float:
    within(SALINITY, salinity_g_kg=salinity_g_kg)
    within(TEMPERATURE, temperature_c=temperature_c)
    return float(gsw.C_from_SP(salinity_g_kg, temperature_c, 0.0))


def density_kg_l(*, salinity_g_kg: float, temperature_c: float) -> float:
    """Return density at atmospheric pressure; kg/L, so that mg/L = mg/kg × density."""
    within(BRINE, salinity_g_kg=salinity_g_kg)
    within(TEMPERATURE, temperature_c=temperature_c)
    absolute_g_kg = gsw.SR_from_SP(salinity_g_kg)
    return float(gsw.rho_t_exact(absolute_g_kg, temperature_c, 0.0)) / 1000


def specific_gravity(*, salinity_g_kg: float, water_c: float, reference_c: float) -> float:
    """Return SG(a/b): this water at ``water_c`` over pure water at ``reference_c``."""
    return density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=water_c) / density_kg_l(
        salinity_g_kg=0.0, temperature_c=reference_c
    )


def salinity_from_specific_gravity(
    *, specific_gravity: float, water_c: float, reference_c: float
) -> float:
    """Return the salinity whose SG(a/b) is ``specific_gravity``.

    ``water_c`` is the temperature the density belongs to: the first of the instrument's two
    if the water was at it or the instrument corrects itself, else the water's own.

    Raises:
        OutOfRange: no salinity from 0 to 42 has this specific gravity at these temperatures.
    """
    pure_kg_l = density_kg_l(salinity_g_kg=0.0, temperature_c=reference_c)
    within(_gravity_range(water_c, pure_kg_l), specific_gravity=specific_gravity)
    return _salinity_at_density(specific_gravity * pure_kg_l, water_c)


def _gravity_range(water_c: float, pure_kg_l: float) -> Range:
    fresh = density_kg_l(salinity_g_kg=SALINITY.low, temperature_c=water_c)
    salty = density_kg_l(salinity_g_kg=SALINITY.high, temperature_c=water_c)
    return Range(name="specific gravity", unit="", low=fresh / pure_kg_l, high=salty / pure_kg_l)


def _salinity_at_density(wanted_kg_l: float, temperature_c: float) -> float:
    low, high = SALINITY.low, SALINITY.high
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if density_kg_l(salinity_g_kg=middle, temperature_c=temperature_c) < wanted_kg_l:
            low = middle
        else:
            high = middle
    return (low + high) / 2
