"""What floating and optical instruments say of salinity, and which of them correct themselves.

A hydrometer's scale is engraved for one temperature of the water and one of the pure water it
is compared with; the glass swells too. A refractometer reads the light bent by a drop that
takes the *prism's* temperature. Index of refraction: Quan & Fry (1995), Appl. Opt. 34:3477,
0-30 °C, 0-35 g/kg, 400-700 nm; beyond 35 it is extrapolated here.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from chemistry.domain import Number, OutOfRange, Range, within
from chemistry.salinity import (
    SALINITY,
    SIXTY_FAHRENHEIT_C,
    TEMPERATURE,
    salinity_from_specific_gravity,
    specific_gravity,
)

GRAVITY: Final = Range(name="specific gravity", unit="", low=0.99, high=1.04)
PRISM: Final = Range(
    name="temperature of the prism", unit="°C", low=0.0, high=30.0, source="Quan & Fry 1995"
)
EXPANSION: Final = Range(name="expansion of the glass", unit="per °C", low=0.0, high=2e-4)

# Soda-lime glass by volume; from memory, unverified. It moves S by 0.4 between 15 and 25 °C.
GLASS_PER_C: Final = 25e-6
SODIUM_LINE_NM: Final = 589.3
REFRACTOMETER_C: Final = 20.0  # what scales without a note are made for; common practice
FITTED_TO_G_KG: Final = 35.0

_STEPS: Final = 30
_INDEX_PER_G_KG: Final = 1.85e-4  # near enough for these steps to close in


class Scale(StrEnum):
    """Temperature of the water over that of the pure water it is compared with."""

    SIXTY_SIXTY_F = "60/60 °F"
    TWENTY_TWENTY = "20/20 °C"
    TWENTY_FIVE_TWENTY_FIVE = "25/25 °C"
    FIFTEEN_FOUR = "15/4 °C"
    TWENTY_FOUR = "20/4 °C"
    TWENTY_FIVE_FOUR = "25/4 °C"


WATER_AND_REFERENCE_C: Final = {
    Scale.SIXTY_SIXTY_F: (SIXTY_FAHRENHEIT_C, SIXTY_FAHRENHEIT_C),
    Scale.TWENTY_TWENTY: (20.0, 20.0),
    Scale.TWENTY_FIVE_TWENTY_FIVE: (25.0, 25.0),
    Scale.FIFTEEN_FOUR: (15.0, 4.0),
    Scale.TWENTY_FOUR: (20.0, 4.0),
    Scale.TWENTY_FIVE_FOUR: (25.0, 4.0),
}


class Instrument(StrEnum):
    GLASS_HYDROMETER = "glass hydrometer"
    SWING_ARM = "swing-arm hydrometer"
    PLAIN_REFRACTOMETER = "refractometer without temperature compensation"
    COMPENSATED_REFRACTOMETER = "refractometer with automatic temperature compensation"
    SALINITY_METER = "conductivity meter that shows salinity"
    CONDUCTIVITY_METER = "conductivity meter that shows conductivity at 25 °C"


# Common practice, no source. A swing arm swells with its water and is out by more than that.
CORRECTS_ITSELF: Final = {
    Instrument.GLASS_HYDROMETER: False,
    Instrument.SWING_ARM: False,
    Instrument.PLAIN_REFRACTOMETER: False,
    Instrument.COMPENSATED_REFRACTOMETER: True,
    Instrument.SALINITY_METER: True,
    Instrument.CONDUCTIVITY_METER: True,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class BareGravity:
    """All that a specific gravity may mean when nobody says of which temperatures."""

    low_g_kg: float
    high_g_kg: float
    by_scale: tuple[tuple[Scale, float], ...]


def gravity_on(*, salinity_g_kg: float, scale: Scale) -> float:
    """Return what a true instrument of this scale shows in water of its own temperature."""
    water_c, reference_c = WATER_AND_REFERENCE_C[scale]
    return specific_gravity(salinity_g_kg=salinity_g_kg, water_c=water_c, reference_c=reference_c)


def salinity_on(*, specific_gravity: float, scale: Scale) -> float:
    """Return the salinity of a gravity read at, or corrected to, the scale's own temperature.

    Raises:
        OutOfRange: no salinity from 0 to 42 shows it.
    """
    water_c, reference_c = WATER_AND_REFERENCE_C[scale]
    return salinity_from_specific_gravity(
        specific_gravity=specific_gravity, water_c=water_c, reference_c=reference_c
    )


def bare_gravity(*, specific_gravity: float) -> BareGravity:
    """Return the salinity on every scale in use; one that cannot show it is left out.

    Raises:
        OutOfRange: no scale shows it.
    """
    within(GRAVITY, specific_gravity=specific_gravity)
    by_scale = tuple(
        (scale, salinity_on(specific_gravity=specific_gravity, scale=scale))
        for scale in Scale
        if _shows(scale, specific_gravity)
    )
    if not by_scale:
        lowest = gravity_on(salinity_g_kg=SALINITY.low, scale=Scale.TWENTY_FIVE_FOUR)
        highest = gravity_on(salinity_g_kg=SALINITY.high, scale=Scale.SIXTY_SIXTY_F)
        accepted = Range(name="specific gravity", unit="", low=lowest, high=highest)
        raise OutOfRange(accepted, field="specific_gravity", value=specific_gravity)
    salinities = [salinity for _, salinity in by_scale]
    return BareGravity(low_g_kg=min(salinities), high_g_kg=max(salinities), by_scale=by_scale)


def salinity_from_hydrometer(
    *, reading: float, water_c: float, scale: Scale, glass_per_c: float = GLASS_PER_C
) -> float:
    """Return the salinity of water of ``water_c`` in which the glass floats at ``reading``.

    Raises:
        OutOfRange: no salinity from 0 to 42 floats it there.
    """
    within(TEMPERATURE, water_c=water_c)
    within(EXPANSION, glass_per_c=glass_per_c)
    made_for_c, reference_c = WATER_AND_REFERENCE_C[scale]
    # The same mass afloat: glass swollen by warmth needs less dense water for the same mark.
    true = reading / (1 + glass_per_c * (water_c - made_for_c))
    return salinity_from_specific_gravity(
        specific_gravity=true, water_c=water_c, reference_c=reference_c
    )


def refractive_index(
    *, salinity_g_kg: Number, temperature_c: Number, wavelength_nm: float = SODIUM_LINE_NM
) -> Number:
    """Return the index of refraction against air at one atmosphere; good to 1.5e-5."""
    within(SALINITY, salinity_g_kg=salinity_g_kg)
    within(PRISM, temperature_c=temperature_c)
    return _index(salinity_g_kg, temperature_c, wavelength_nm)


def salinity_from_refractometer(*, reading_g_kg: float, prism_c: float) -> float:
    """Return the salinity when an instrument *without* compensation shows ``reading_g_kg``.

    Its scale is taken for one made at 20 °C and for sea water, not for a brine of table salt.

    Raises:
        OutOfRange: the prism is outside 0 to 30 °C, or no salinity from 0 to 42 bends light so.
    """
    within(SALINITY, reading_g_kg=reading_g_kg)
    within(PRISM, prism_c=prism_c)
    seen = _index(reading_g_kg, REFRACTOMETER_C, SODIUM_LINE_NM)
    salinity_g_kg = reading_g_kg
    for _ in range(_STEPS):
        miss = seen - _index(salinity_g_kg, prism_c, SODIUM_LINE_NM)
        salinity_g_kg += miss / _INDEX_PER_G_KG
    within(SALINITY, reading_g_kg=salinity_g_kg)
    return salinity_g_kg


def _index(salinity: Number, t: Number, nm: float) -> Number:
    by_salt = salinity * (1.779e-4 - 1.05e-6 * t + 1.6e-8 * t * t)
    by_light = (15.868 + 0.01155 * salinity - 0.00423 * t) / nm - 4382 / nm**2 + 1.1455e6 / nm**3
    return 1.31405 + by_salt - 2.02e-6 * t * t + by_light


def _shows(scale: Scale, gravity: float) -> bool:
    low = gravity_on(salinity_g_kg=SALINITY.low, scale=scale)
    high = gravity_on(salinity_g_kg=SALINITY.high, scale=scale)
    return low <= gravity <= high
