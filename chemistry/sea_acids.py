"""What standard sea water holds in proportion to its salinity, and its acids on the free scale.

Ionic strength: Guide to Best Practices for Ocean CO₂ Measurements (2007), from salinity. Sulfate:
Morris & Riley (1966), Deep-Sea Res. 13:699; Dickson (1990), J. Chem. Thermodyn. 22:113.
Fluoride: Riley (1965), Deep-Sea Res. 12:219; Dickson & Riley (1979), Mar. Chem. 7:89.
Calcium: Riley & Tongudai (1967), Chem. Geol. 2:263. Boron: Uppström (1974), Deep-Sea Res.
21:161, and Lee et al. (2010), Geochim. Cosmochim. Acta 74:1801, 4 % more: worth 0.006 pH.
Everything is mol per kg of sea water unless named otherwise.
"""

from enum import StrEnum
from typing import Final

from chemistry.domain import Number
from chemistry.elementary import exp, ln, root

CHLORINITY_PER_SALINITY: Final = 1 / 1.80655


class Boron(StrEnum):
    """Whose ratio of boron to salinity is taken."""

    UPPSTROM = "Uppström 1974"
    LEE = "Lee et al. 2010"


_BORON_AT_35_MOL_KG: Final = {Boron.UPPSTROM: 0.0004157, Boron.LEE: 0.0004326}


def ionic_strength_mol_kg(salinity_g_kg: Number) -> Number:
    """Return mol per kg of *water*."""
    return 19.924 * salinity_g_kg / (1000 - 1.005 * salinity_g_kg)


def water_share(salinity_g_kg: Number) -> Number:
    """Return kg of water per kg of sea water."""
    return 1 - 0.001005 * salinity_g_kg


def sulfate_mol_kg(salinity_g_kg: Number) -> Number:
    return 0.14 / 96.062 * salinity_g_kg * CHLORINITY_PER_SALINITY


def fluoride_mol_kg(salinity_g_kg: Number) -> Number:
    return 0.000067 / 18.998 * salinity_g_kg * CHLORINITY_PER_SALINITY


def calcium_mol_kg(salinity_g_kg: Number) -> Number:
    return 0.02128 / 40.087 * salinity_g_kg * CHLORINITY_PER_SALINITY


def boron_mol_kg(salinity_g_kg: Number, *, ratio: Boron) -> Number:
    return _BORON_AT_35_MOL_KG[ratio] / 35 * salinity_g_kg


def bisulfate_constant(kelvin: Number, salinity_g_kg: Number) -> Number:
    ionic = ionic_strength_mol_kg(salinity_g_kg)
    ln_kelvin = ln(kelvin)
    # Dickson's page 121 prints 10^9 where 10^8 is meant.
    ln_constant: Number = (
        -4276.1 / kelvin
        + 141.328
        - 23.093 * ln_kelvin
        + (-13856 / kelvin + 324.57 - 47.986 * ln_kelvin) * root(ionic)
        + (35474 / kelvin - 771.54 + 114.723 * ln_kelvin) * ionic
        - 2698 / kelvin * ionic**1.5
        + 1776 / kelvin * ionic**2
    )
    return exp(ln_constant) * water_share(salinity_g_kg)


def hydrogen_fluoride_constant(kelvin: Number, salinity_g_kg: Number) -> Number:
    ionic = ionic_strength_mol_kg(salinity_g_kg)
    ln_constant = 1590.2 / kelvin - 12.641 + 1.525 * root(ionic)
    return exp(ln_constant) * water_share(salinity_g_kg)


def sulfate_ratio(kelvin: Number, salinity_g_kg: Number) -> Number:
    """Return bisulfate over free hydrogen ions: total scale over free scale, less one."""
    return sulfate_mol_kg(salinity_g_kg) / bisulfate_constant(kelvin, salinity_g_kg)


def fluoride_ratio(kelvin: Number, salinity_g_kg: Number) -> Number:
    """Return hydrogen fluoride over free hydrogen ions: what the sea-water scale adds."""
    return fluoride_mol_kg(salinity_g_kg) / hydrogen_fluoride_constant(kelvin, salinity_g_kg)
