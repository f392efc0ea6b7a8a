"""What sea water of a given salinity is made of, and mg/kg against mg/L.

Mass fractions of sea salt: Reference Composition, Millero, Feistel, Wright & McDougall (2008),
Deep-Sea Res. I 55:50-72; all proportional to salinity. A made-up mix may differ in any of
them: this is what its label can be held against. Chlorinity: Cl = S / 1.80655.
"""

from enum import StrEnum
from typing import Final

from chemistry.domain import Number, Range, within
from chemistry.salinity import density_kg_l, salt_share

AMOUNT: Final = Range(name="amount", unit="", low=0.0, high=1e6)

SALINITY_PER_CHLORINITY: Final = 1.80655
# From the fractions: HCO3 + 2 CO3 + B(OH)4 + OH, at salinity 35; mmol per kg of sea water.
ALKALINITY_MMOL_KG_AT_35: Final = 2.304


class Species(StrEnum):
    CHLORIDE = "chloride"
    SODIUM = "sodium"
    SULFATE = "sulfate"
    MAGNESIUM = "magnesium"
    CALCIUM = "calcium"
    POTASSIUM = "potassium"
    BICARBONATE = "bicarbonate"
    BROMIDE = "bromide"
    BORIC_ACID = "boric acid"
    CARBONATE = "carbonate"
    BORATE = "borate"
    STRONTIUM = "strontium"
    FLUORIDE = "fluoride"


FRACTION_OF_SALT: Final = {
    Species.CHLORIDE: 0.5503396,
    Species.SODIUM: 0.3065958,
    Species.SULFATE: 0.0771319,
    Species.MAGNESIUM: 0.0365055,
    Species.CALCIUM: 0.0117186,
    Species.POTASSIUM: 0.0113495,
    Species.BICARBONATE: 0.0029805,
    Species.BROMIDE: 0.0019134,
    Species.BORIC_ACID: 0.0005527,
    Species.CARBONATE: 0.0004078,
    Species.BORATE: 0.0002259,
    Species.STRONTIUM: 0.0002260,
    Species.FLUORIDE: 0.0000369,
}


def chlorinity_g_kg(*, salinity_g_kg: Number) -> Number:
    return salinity_g_kg / SALINITY_PER_CHLORINITY


def reference_mg_kg(*, species: Species, salinity_g_kg: Number) -> Number:
    """Return milligrams per kilogram: "ppm by weight"."""
    return salt_share(salinity_g_kg) * 1e6 * FRACTION_OF_SALT[species]


def reference_mg_l(*, species: Species, salinity_g_kg: Number, temperature_c: Number) -> Number:
    """Return what a test of natural sea water of this salinity would show."""
    mg_kg = reference_mg_kg(species=species, salinity_g_kg=salinity_g_kg)
    return mg_l_from_mg_kg(mg_kg=mg_kg, salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)


def reference_alkalinity_meq_l(*, salinity_g_kg: Number, temperature_c: Number) -> Number:
    density = density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)
    return ALKALINITY_MMOL_KG_AT_35 * salinity_g_kg / 35 * density


def mg_l_from_mg_kg(*, mg_kg: Number, salinity_g_kg: Number, temperature_c: Number) -> Number:
    """Return mg/L; sea water at 25 °C weighs 1.023 kg/L, so mg/kg read as mg/L is 2.3 % low."""
    within(AMOUNT, mg_kg=mg_kg)
    return mg_kg * density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)


def mg_kg_from_mg_l(*, mg_l: Number, salinity_g_kg: Number, temperature_c: Number) -> Number:
    within(AMOUNT, mg_l=mg_l)
    return mg_l / density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)
