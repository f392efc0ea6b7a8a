"""From a meter calibrated in low-ionic buffers (NBS) to the total scale, in sea water.

The electrode factor fH: Takahashi, Williams & Bos (1982), GEOSECS Pacific Expedition 3:80.
Sulfate: Morris & Riley (1966), Deep-Sea Res. 13:699; Dickson (1990), J. Chem. Thermodyn.
22:113. Fluoride: Riley (1965), Deep-Sea Res. 12:219; Dickson & Riley (1979), Mar. Chem. 7:89.
The liquid junction of a real electrode adds 0.02-0.05 pH of its own (from memory, unverified).
"""

import math
from enum import StrEnum
from typing import Final

from chemistry.constants import KELVIN_AT_ZERO_CELSIUS
from chemistry.domain import Range, within

# fH was fitted for these salinities (from memory, unverified); at low ones it misses 1.
SALINITY: Final = Range(
    name="salinity", unit="g/kg", low=20.0, high=40.0, source="where NBS pH can be converted"
)
TEMPERATURE: Final = Range(name="temperature", unit="°C", low=0.0, high=40.0)


class PhScale(StrEnum):
    """How the pH was defined; electrodes in ordinary buffers and colour kits are NBS."""

    NBS = "NBS"
    TOTAL = "total"


def total_from_nbs(*, ph_nbs: float, temperature_c: float, salinity_g_kg: float) -> float:
    """Return pH on the total scale of a meter reading on NBS buffers."""
    return ph_nbs - nbs_above_total(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)


def nbs_above_total(*, temperature_c: float, salinity_g_kg: float) -> float:
    """Return how far an NBS reading stands above the total-scale pH (0.137 at S 35, 25 °C)."""
    within(TEMPERATURE, temperature_c=temperature_c)
    within(SALINITY, salinity_g_kg=salinity_g_kg)
    kelvin = temperature_c + KELVIN_AT_ZERO_CELSIUS
    sulfate = _sulfate_ratio(kelvin, salinity_g_kg)
    fluoride = _fluoride_ratio(kelvin, salinity_g_kg)
    seawater_per_total = (1 + sulfate + fluoride) / (1 + sulfate)
    return -math.log10(_electrode_factor(kelvin, salinity_g_kg) * seawater_per_total)


def _electrode_factor(kelvin: float, salinity_g_kg: float) -> float:
    return 1.2948 - 0.002036 * kelvin + (0.0004607 - 0.000001475 * kelvin) * salinity_g_kg**2


def _sulfate_ratio(kelvin: float, salinity_g_kg: float) -> float:
    """Return total sulfate over the bisulfate constant; both mol/kg-sw, free scale."""
    total = 0.14 / 96.062 * salinity_g_kg / 1.80655
    ionic = _ionic_strength(salinity_g_kg)
    # Dickson's page 121 prints 10^9 where 10^8 is meant.
    ln_constant = (
        -4276.1 / kelvin
        + 141.328
        - 23.093 * math.log(kelvin)
        + (-13856 / kelvin + 324.57 - 47.986 * math.log(kelvin)) * ionic**0.5
        + (35474 / kelvin - 771.54 + 114.723 * math.log(kelvin)) * ionic
        - 2698 / kelvin * ionic**1.5
        + 1776 / kelvin * ionic**2
    )
    return total / (math.exp(ln_constant) * _per_kg_seawater(salinity_g_kg))


def _fluoride_ratio(kelvin: float, salinity_g_kg: float) -> float:
    """Return total fluoride over the hydrogen fluoride constant; both mol/kg-sw, free scale."""
    total = 0.000067 / 18.998 * salinity_g_kg / 1.80655
    ln_constant = 1590.2 / kelvin - 12.641 + 1.525 * _ionic_strength(salinity_g_kg) ** 0.5
    return total / (math.exp(ln_constant) * _per_kg_seawater(salinity_g_kg))


def _ionic_strength(salinity_g_kg: float) -> float:
    return 19.924 * salinity_g_kg / (1000 - 1.005 * salinity_g_kg)


def _per_kg_seawater(salinity_g_kg: float) -> float:
    return 1 - 0.001005 * salinity_g_kg
