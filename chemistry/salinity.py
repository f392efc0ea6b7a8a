"""Salinity from conductivity, density or specific gravity, and back; floats or arrays.

TEOS-10 (IOC, SCOR & IAPSO 2010) through gsw: PSS-78 with the extension of Hill, Dauphinee &
Woods (1986) below 2; density at atmospheric pressure from the Gibbs function, taking the
Reference Composition (a made-up mix may differ). Temperatures are ITS-90; the printed PSS-78
and EOS-80 checks are on IPTS-68 (t68 = 1.00024 t90). A specific gravity means nothing without
its two temperatures: "1.025" is anything from S 32.6 (60/60 °F) to 37.2 (25/4 °C).
"""

from typing import Final

import gsw
import numpy as np

from chemistry.constants import (
    CONDUCTIVITY_OF_35_AT_15_MS_CM,
    REFERENCE_SALINITY_PER_PRACTICAL,
    T68_PER_T90,
)
from chemistry.domain import Number, OutOfRange, Range, plain, within

SALINITY: Final = Range(
    name="salinity", unit="g/kg", low=0.0, high=42.0, source="PSS-78 and TEOS-10"
)
# IAPWS-08 goes to 120 g/kg at atmospheric pressure (from memory, unverified).
BRINE: Final = Range(name="salinity", unit="g/kg", low=0.0, high=60.0)
TEMPERATURE: Final = Range(name="temperature", unit="°C", low=-2.0, high=40.0, source="TEOS-10")
CONDUCTIVITY: Final = Range(name="conductivity", unit="mS/cm", low=0.0, high=90.0)
RATIO: Final = Range(name="conductivity ratio", unit="", low=0.0, high=2.1)
PRESSURE: Final = Range(name="pressure", unit="dbar", low=0.0, high=10_000.0, source="PSS-78")
COMPENSATION: Final = Range(
    name="temperature compensation of the meter", unit="per °C", low=0.0, high=0.04
)
COMPENSATED_C: Final = 25.0

SIXTY_FAHRENHEIT_C: Final = (60 - 32) / 1.8

# The curve of density over salinity bends by a tenth, so every round gains a digit.
_ROUNDS: Final = 18


def practical_salinity(*, conductivity_ms_cm: Number, temperature_c: Number) -> Number:
    """Return salinity from conductivity *at* ``temperature_c``, not corrected to 25 °C.

    Raises:
        OutOfRange: the water is outside -2 to 40 °C or comes out above 42.
    """
    within(CONDUCTIVITY, conductivity_ms_cm=conductivity_ms_cm)
    within(TEMPERATURE, temperature_c=temperature_c)
    return _salinity_at(conductivity_ms_cm, temperature_c, 0.0, field="conductivity_ms_cm")


def salinity_from_ratio(
    *, conductivity_ratio: Number, temperature_t68_c: Number, pressure_dbar: Number
) -> Number:
    """Return salinity from C/C(35, 15, 0), the form in which PSS-78 prints its checks.

    ``temperature_t68_c`` is on IPTS-68. Fed ITS-90 it is 0.003 low at 15 °C.

    Raises:
        OutOfRange: outside -2 to 40 °C or 10,000 dbar, or a salinity above 42.
    """
    within(RATIO, conductivity_ratio=conductivity_ratio)
    within(TEMPERATURE, temperature_t68_c=temperature_t68_c)
    within(PRESSURE, pressure_dbar=pressure_dbar)
    conductivity = conductivity_ratio * CONDUCTIVITY_OF_35_AT_15_MS_CM
    temperature_c = temperature_t68_c / T68_PER_T90
    return _salinity_at(conductivity, temperature_c, pressure_dbar, field="conductivity_ratio")


def salinity_from_compensated(
    *, conductivity_25_ms_cm: Number, temperature_c: Number, compensation_per_c: Number
) -> Number:
    """Return salinity from a meter that shows conductivity corrected to 25 °C.

    Most meters divide by 1 + a (t - 25), with a of 1.9 to 2.1 % per °C set in their menu
    (common practice, no source). Sea water's own is 1.8 % down to 5 °C and 2.0 % up to 35 °C,
    so the division is undone first. At 25 °C the setting does not matter.
    """
    within(CONDUCTIVITY, conductivity_25_ms_cm=conductivity_25_ms_cm)
    within(COMPENSATION, compensation_per_c=compensation_per_c)
    within(TEMPERATURE, temperature_c=temperature_c)
    undone = conductivity_25_ms_cm * (1 + compensation_per_c * (temperature_c - COMPENSATED_C))
    return _salinity_at(undone, temperature_c, 0.0, field="conductivity_25_ms_cm")


def conductivity_ms_cm(*, salinity_g_kg: Number, temperature_c: Number) -> Number:
    within(SALINITY, salinity_g_kg=salinity_g_kg)
    within(TEMPERATURE, temperature_c=temperature_c)
    conductivity: Number = gsw.C_from_SP(salinity_g_kg, temperature_c, 0.0)
    return plain(conductivity)


def density_kg_l(*, salinity_g_kg: Number, temperature_c: Number) -> Number:
    """Return density at atmospheric pressure; kg/L, so that mg/L = mg/kg × density."""
    within(BRINE, salinity_g_kg=salinity_g_kg)
    within(TEMPERATURE, temperature_c=temperature_c)
    return _density_kg_l(salinity_g_kg, temperature_c)


def specific_gravity(*, salinity_g_kg: Number, water_c: Number, reference_c: Number) -> Number:
    """Return SG(a/b): this water at ``water_c`` over pure water at ``reference_c``."""
    within(TEMPERATURE, reference_c=reference_c)
    pure_kg_l = _density_kg_l(0 * reference_c, reference_c)
    return density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=water_c) / pure_kg_l


def salinity_from_specific_gravity(
    *, specific_gravity: Number, water_c: Number, reference_c: Number
) -> Number:
    """Return the salinity whose SG(a/b) is ``specific_gravity``.

    ``water_c`` is the temperature the density belongs to: the first of the instrument's two
    if the water was at it or the instrument corrects itself, else the water's own.

    Raises:
        OutOfRange: no salinity from 0 to 42 has this specific gravity at these temperatures.
    """
    within(TEMPERATURE, water_c=water_c, reference_c=reference_c)
    pure_kg_l = _density_kg_l(0 * reference_c, reference_c)
    _check_gravity(specific_gravity, water_c, pure_kg_l)
    return _salinity_at_density(specific_gravity * pure_kg_l, water_c)


def salt_share(salinity_g_kg: Number) -> Number:
    """Return kg of sea salt per kg of water, TEOS-10's reference salinity; 35 is 35.165 g."""
    return salinity_g_kg * REFERENCE_SALINITY_PER_PRACTICAL / 1000


def _salinity_at(
    conductivity: Number, temperature_c: Number, pressure: Number | float, *, field: str
) -> Number:
    salinity_g_kg: Number = gsw.SP_from_C(conductivity, temperature_c, pressure)
    outside = SALINITY.first_outside(salinity_g_kg)
    if outside is not None:
        raise OutOfRange(SALINITY, field=field, value=outside)
    return plain(salinity_g_kg)


def _density_kg_l(salinity_g_kg: Number, temperature_c: Number) -> Number:
    absolute_g_kg = salinity_g_kg * REFERENCE_SALINITY_PER_PRACTICAL
    density_kg_m3: Number = gsw.rho_t_exact(absolute_g_kg, temperature_c, 0.0)
    return plain(density_kg_m3) / 1000


def _check_gravity(gravity: Number, water_c: Number, pure_kg_l: Number) -> None:
    """Refuse the first gravity that no water of this temperature has."""
    fresh, salty = _ends_kg_l(water_c)
    gravities, lows, highs = np.broadcast_arrays(gravity, fresh / pure_kg_l, salty / pure_kg_l)
    outside = ~((lows <= gravities) & (gravities <= highs))
    if not outside.any():
        return
    low, high, value = (float(ends[outside].flat[0]) for ends in (lows, highs, gravities))
    accepted = Range(name="specific gravity", unit="", low=low, high=high)
    raise OutOfRange(accepted, field="specific_gravity", value=value)


def _ends_kg_l(temperature_c: Number) -> tuple[Number, Number]:
    nought = 0 * temperature_c
    return (
        _density_kg_l(nought + SALINITY.low, temperature_c),
        _density_kg_l(nought + SALINITY.high, temperature_c),
    )


def _salinity_at_density(wanted_kg_l: Number, temperature_c: Number) -> Number:
    fresh, salty = _ends_kg_l(temperature_c)
    per_kg_l = (SALINITY.high - SALINITY.low) / (salty - fresh)
    salinity = SALINITY.low + (wanted_kg_l - fresh) * per_kg_l
    for _ in range(_ROUNDS):
        salinity = salinity + (wanted_kg_l - _density_kg_l(salinity, temperature_c)) * per_kg_l
    answer: Number = np.clip(salinity, SALINITY.low, SALINITY.high)
    return plain(answer)
