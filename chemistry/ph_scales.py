"""Between the scales of pH: NBS (what ordinary buffers give), total, sea-water and free.

The electrode factor fH: Takahashi, Williams & Bos (1982), GEOSECS Pacific Expedition 3:80.
Sulfate and fluoride: see ``sea_acids``. The liquid junction of a real electrode adds 0.02-0.05
pH of its own (from memory, unverified). In fresh water the scales differ by less than that.
"""

from enum import StrEnum
from typing import Final

from chemistry.constants import KELVIN_AT_ZERO_CELSIUS
from chemistry.domain import Number, Range, within
from chemistry.elementary import lg
from chemistry.sea_acids import fluoride_ratio, sulfate_ratio

# fH was fitted for these salinities (from memory, unverified); at low ones it misses 1.
SALINITY: Final = Range(
    name="salinity", unit="g/kg", low=20.0, high=40.0, source="where NBS pH can be converted"
)
TEMPERATURE: Final = Range(name="temperature", unit="°C", low=0.0, high=40.0)
# Free, total and sea-water scales differ by the ions of the salt, so by nothing at salinity 0.
ION_SALINITY: Final = Range(name="salinity", unit="g/kg", low=0.0, high=45.0)
ION_TEMPERATURE: Final = Range(name="temperature", unit="°C", low=-2.0, high=45.0)


class PhScale(StrEnum):
    """How the pH was defined; electrodes in ordinary buffers and colour kits are NBS."""

    NBS = "NBS"
    TOTAL = "total"
    SEAWATER = "sea-water"
    FREE = "free"


def to_total(ph: Number, *, scale: PhScale, temperature_c: Number, salinity_g_kg: Number) -> Number:
    """Return ``ph`` on the total scale."""
    if scale is PhScale.TOTAL:
        return ph
    above = above_total(scale, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    return ph - above


def from_total(
    ph_total: Number, *, scale: PhScale, temperature_c: Number, salinity_g_kg: Number
) -> Number:
    """Return a total-scale pH on another scale."""
    if scale is PhScale.TOTAL:
        return ph_total
    above = above_total(scale, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    return ph_total + above


def above_total(scale: PhScale, *, temperature_c: Number, salinity_g_kg: Number) -> Number:
    """Return how far a pH on ``scale`` stands above the total-scale pH of the same water."""
    if scale is PhScale.NBS:
        return nbs_above_total(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    within(ION_TEMPERATURE, temperature_c=temperature_c)
    within(ION_SALINITY, salinity_g_kg=salinity_g_kg)
    kelvin = temperature_c + KELVIN_AT_ZERO_CELSIUS
    sulfate = sulfate_ratio(kelvin, salinity_g_kg)
    if scale is PhScale.FREE:
        return lg(1 + sulfate)
    if scale is PhScale.SEAWATER:
        return -lg(1 + fluoride_ratio(kelvin, salinity_g_kg) / (1 + sulfate))
    return sulfate * 0


def total_from_nbs(*, ph_nbs: Number, temperature_c: Number, salinity_g_kg: Number) -> Number:
    """Return pH on the total scale of a meter reading on NBS buffers."""
    return ph_nbs - nbs_above_total(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)


def nbs_above_total(*, temperature_c: Number, salinity_g_kg: Number) -> Number:
    """Return how far an NBS reading stands above the total-scale pH (0.137 at S 35, 25 °C)."""
    within(TEMPERATURE, temperature_c=temperature_c)
    within(SALINITY, salinity_g_kg=salinity_g_kg)
    kelvin = temperature_c + KELVIN_AT_ZERO_CELSIUS
    seawater_per_total = 1 + fluoride_ratio(kelvin, salinity_g_kg) / (
        1 + sulfate_ratio(kelvin, salinity_g_kg)
    )
    return -lg(_electrode_factor(kelvin, salinity_g_kg) * seawater_per_total)


def _electrode_factor(kelvin: Number, salinity_g_kg: Number) -> Number:
    return 1.2948 - 0.002036 * kelvin + (0.0004607 - 0.000001475 * kelvin) * salinity_g_kg**2
