"""The acids of carbon, boron and water itself in salt water; total pH scale, mol/kg-sw.

Carbonic acid: Lueker, Dickson & Keeling (2000), Mar. Chem. 70:105; for brackish water and outside
its temperatures Millero (2010), Mar. Freshw. Res. 61:139. Solubility of CO₂ and its fugacity: Weiss
(1974), Mar. Chem. 2:203. Boric acid: Dickson (1990), Deep-Sea Res. 37:755. Water: Millero
(1995), Geochim. Cosmochim. Acta 59:661. Calcium carbonate: Mucci (1983), Am. J. Sci. 283:780.
The choice of carbonic constants moves pH by 0.004 among the modern fits, by 0.03 to the oldest.
"""

from typing import Final

from chemistry.domain import Number, Range
from chemistry.elementary import exp, lg, ln, root, ten_to
from chemistry.sea_acids import fluoride_ratio, sulfate_ratio

LUEKER_TEMPERATURE: Final = Range(
    name="temperature", unit="°C", low=2.0, high=35.0, source="Lueker et al. 2000"
)
LUEKER_SALINITY: Final = Range(
    name="salinity", unit="g/kg", low=19.0, high=43.0, source="Lueker et al. 2000"
)
MILLERO_SALINITY: Final = Range(
    name="salinity", unit="g/kg", low=1.0, high=50.0, source="Millero 2010"
)
MILLERO_TEMPERATURE: Final = Range(
    name="temperature", unit="°C", low=0.0, high=50.0, source="Millero 2010"
)
BORIC_SALINITY: Final = Range(
    name="salinity", unit="g/kg", low=5.0, high=45.0, source="Dickson 1990"
)

# R in cm³ bar per mol and kelvin; one atmosphere in bar.
_GAS_CONSTANT: Final = 83.14462618
_ATMOSPHERE_BAR: Final = 1.01325


def lueker_k1(kelvin: Number, salinity_g_kg: Number) -> Number:
    s = salinity_g_kg
    pk = 3633.86 / kelvin - 61.2172 + 9.6777 * ln(kelvin) + s * (-0.011555 + 0.0001152 * s)
    return ten_to(-pk)


def lueker_k2(kelvin: Number, salinity_g_kg: Number) -> Number:
    s = salinity_g_kg
    pk = 471.78 / kelvin + 25.929 - 3.16967 * ln(kelvin) + s * (-0.01781 + 0.0001122 * s)
    return ten_to(-pk)


def millero_2010_k1(kelvin: Number, salinity_g_kg: Number) -> Number:
    """Return the constant on the *sea-water* scale; ``seawater_to_total`` turns it."""
    s, root_s, ln_k = salinity_g_kg, root(salinity_g_kg), ln(kelvin)
    pk = (
        (-126.34048 + 6320.813 / kelvin + 19.568224 * ln_k)
        + (13.4038 * root_s + 0.03206 * s - 5.242e-5 * (s * s))
        + (-530.659 * root_s - 5.8210 * s) / kelvin
        - 2.0664 * root_s * ln_k
    )
    return ten_to(-pk)


def millero_2010_k2(kelvin: Number, salinity_g_kg: Number) -> Number:
    """Return the constant on the *sea-water* scale; ``seawater_to_total`` turns it."""
    s, root_s, ln_k = salinity_g_kg, root(salinity_g_kg), ln(kelvin)
    pk = (
        (-90.18333 + 5143.692 / kelvin + 14.613358 * ln_k)
        + (21.3728 * root_s + 0.1218 * s - 3.688e-4 * (s * s))
        + (-788.289 * root_s - 19.189 * s) / kelvin
        - 3.374 * root_s * ln_k
    )
    return ten_to(-pk)


def seawater_to_total(kelvin: Number, salinity_g_kg: Number) -> Number:
    """Return what a constant on the sea-water scale is multiplied by for the total scale."""
    sulfate = sulfate_ratio(kelvin, salinity_g_kg)
    return (1 + sulfate) / (1 + sulfate + fluoride_ratio(kelvin, salinity_g_kg))


def boric_constant(kelvin: Number, salinity_g_kg: Number) -> Number:
    s, root_s = salinity_g_kg, root(salinity_g_kg)
    by_kelvin = -8966.9 - 2890.53 * root_s - 77.942 * s + 1.728 * root_s * s - 0.0996 * (s * s)
    return exp(
        by_kelvin / kelvin
        + 148.0248
        + 137.1942 * root_s
        + 1.62142 * s
        + (-24.4344 - 25.085 * root_s - 0.2474 * s) * ln(kelvin)
        + 0.053105 * root_s * kelvin
    )


def water_constant(kelvin: Number, salinity_g_kg: Number) -> Number:
    """Return the ion product on the *sea-water* scale; at salinity 0 that of pure water."""
    ln_k = ln(kelvin)
    return exp(
        148.9802
        - 13847.26 / kelvin
        - 23.6521 * ln_k
        + (-5.977 + 118.67 / kelvin + 1.0495 * ln_k) * root(salinity_g_kg)
        - 0.01615 * salinity_g_kg
    )


def carbon_dioxide_solubility(kelvin: Number, salinity_g_kg: Number) -> Number:
    """Return mol/kg-sw per atmosphere of fugacity."""
    hundreds = kelvin / 100
    salting = 0.023517 - 0.023656 * hundreds + 0.0047036 * (hundreds * hundreds)
    return exp(-60.2409 + 93.4517 / hundreds + 23.3585 * ln(hundreds) + salinity_g_kg * salting)


def fugacity_share(kelvin: Number) -> Number:
    """Return the fugacity of a little CO₂ in air at one atmosphere over its partial pressure."""
    virial = -1636.75 + kelvin * (12.0408 + kelvin * (-0.0327957 + 3.16528e-5 * kelvin))
    cross = 57.7 - 0.118 * kelvin
    return exp((virial + 2 * cross) * _ATMOSPHERE_BAR / (_GAS_CONSTANT * kelvin))


def calcite_product(kelvin: Number, salinity_g_kg: Number) -> Number:
    """Return the stoichiometric solubility product, (mol/kg-sw)²."""
    s, root_s = salinity_g_kg, root(salinity_g_kg)
    return ten_to(
        -171.9065
        - 0.077993 * kelvin
        + 2839.319 / kelvin
        + 71.595 * lg(kelvin)
        + (-0.77712 + 0.0028426 * kelvin + 178.34 / kelvin) * root_s
        - 0.07711 * s
        + 0.0041249 * root_s * s
    )


def aragonite_product(kelvin: Number, salinity_g_kg: Number) -> Number:
    """Return the stoichiometric solubility product, (mol/kg-sw)²."""
    s, root_s = salinity_g_kg, root(salinity_g_kg)
    return ten_to(
        -171.945
        - 0.077993 * kelvin
        + 2903.293 / kelvin
        + 71.595 * lg(kelvin)
        + (-0.068393 + 0.0017276 * kelvin + 88.135 / kelvin) * root_s
        - 0.10018 * s
        + 0.0059415 * root_s * s
    )
