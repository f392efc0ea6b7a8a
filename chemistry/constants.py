"""Numbers the world fixed, each with its source."""

from typing import Final

# Conventional atomic weights, CIAAW/IUPAC, five figures; g/mol. Libraries differ by up to
# 5e-5 relative, so no factor made of these deserves a tighter check than 1e-4.
HYDROGEN_G_MOL: Final = 1.008
CARBON_G_MOL: Final = 12.011
NITROGEN_G_MOL: Final = 14.007
OXYGEN_G_MOL: Final = 15.999
SODIUM_G_MOL: Final = 22.990
SULFUR_G_MOL: Final = 32.06
CHLORINE_G_MOL: Final = 35.45
CALCIUM_G_MOL: Final = 40.078
MAGNESIUM_G_MOL: Final = 24.305
PHOSPHORUS_G_MOL: Final = 30.974
POTASSIUM_G_MOL: Final = 39.098
COPPER_G_MOL: Final = 63.546

# Ions carry the mass of their atoms; the electron's own mass is left out (3e-5 relative).
AMMONIA_G_MOL: Final = NITROGEN_G_MOL + 3 * HYDROGEN_G_MOL
AMMONIUM_G_MOL: Final = NITROGEN_G_MOL + 4 * HYDROGEN_G_MOL
NITRITE_G_MOL: Final = NITROGEN_G_MOL + 2 * OXYGEN_G_MOL
NITRATE_G_MOL: Final = NITROGEN_G_MOL + 3 * OXYGEN_G_MOL
AMMONIUM_CHLORIDE_G_MOL: Final = AMMONIUM_G_MOL + CHLORINE_G_MOL
CALCIUM_CARBONATE_G_MOL: Final = CALCIUM_G_MOL + CARBON_G_MOL + 3 * OXYGEN_G_MOL
CALCIUM_OXIDE_G_MOL: Final = CALCIUM_G_MOL + OXYGEN_G_MOL
SODIUM_BICARBONATE_G_MOL: Final = SODIUM_G_MOL + HYDROGEN_G_MOL + CARBON_G_MOL + 3 * OXYGEN_G_MOL
SODIUM_CARBONATE_G_MOL: Final = 2 * SODIUM_G_MOL + CARBON_G_MOL + 3 * OXYGEN_G_MOL
WATER_G_MOL: Final = 2 * HYDROGEN_G_MOL + OXYGEN_G_MOL
SODIUM_THIOSULFATE_G_MOL: Final = 2 * SODIUM_G_MOL + 2 * SULFUR_G_MOL + 3 * OXYGEN_G_MOL
SODIUM_THIOSULFATE_PENTAHYDRATE_G_MOL: Final = SODIUM_THIOSULFATE_G_MOL + 5 * WATER_G_MOL
DICHLORINE_G_MOL: Final = 2 * CHLORINE_G_MOL
MONOCHLORAMINE_G_MOL: Final = NITROGEN_G_MOL + 2 * HYDROGEN_G_MOL + CHLORINE_G_MOL
DIOXYGEN_G_MOL: Final = 2 * OXYGEN_G_MOL

# Reference-Composition Salinity of water of practical salinity 35: Millero, Feistel, Wright &
# McDougall (2008), Deep-Sea Res. I 55:50-72; the factor of TEOS-10.
REFERENCE_SALINITY_PER_PRACTICAL: Final = 35.16504 / 35

# UNESCO (1981), PSS-78: the conventional C(35, 15, 0); its temperatures are IPTS-68, and
# t68 = 1.00024 t90 (Saunders 1990).
CONDUCTIVITY_OF_35_AT_15_MS_CM: Final = 42.914
T68_PER_T90: Final = 1.00024

KELVIN_AT_ZERO_CELSIUS: Final = 273.15  # SI definition

# SI (2019): exact products of exact constants.
GAS_CONSTANT_J_MOL_K: Final = 8.31446261815324
FARADAY_C_MOL: Final = 96485.33212331001

# Definitions: 231 cubic inches; UK Weights and Measures.
US_GALLON_L: Final = 3.785411784
IMPERIAL_GALLON_L: Final = 4.54609
