"""The acids of carbon and water itself in fresh water: thermodynamic constants and activities.

Plummer & Busenberg (1982), Geochim. Cosmochim. Acta 46:1011, 0-90 °C; the solubility of CO₂ is
from memory and reproduces the value of the public PHREEQC data file. Activities of ions: Davies
(1962), good to an ionic strength of about 0.1; dielectric constant of water: Malmberg &
Maryott (1956), J. Res. NBS 56:1 (both from memory, unverified). Dissolved gas: 0.1 times
the ionic strength, as PHREEQC has it. mol per kg of water; pH is the activity that a meter on
NBS buffers reads.
"""

from chemistry.constants import KELVIN_AT_ZERO_CELSIUS
from chemistry.domain import Number
from chemistry.elementary import lg, root, ten_to


def carbon_dioxide_solubility(kelvin: Number) -> Number:
    """Return mol/kg per atmosphere."""
    return ten_to(
        108.3865
        + 0.01985076 * kelvin
        - 6919.53 / kelvin
        - 40.45154 * lg(kelvin)
        + 669365 / (kelvin * kelvin)
    )


def k1(kelvin: Number) -> Number:
    return ten_to(
        -356.3094
        - 0.06091964 * kelvin
        + 21834.37 / kelvin
        + 126.8339 * lg(kelvin)
        - 1684915 / (kelvin * kelvin)
    )


def k2(kelvin: Number) -> Number:
    return ten_to(
        -107.8871
        - 0.03252849 * kelvin
        + 5151.79 / kelvin
        + 38.92561 * lg(kelvin)
        - 563713.9 / (kelvin * kelvin)
    )


def calcite_product(kelvin: Number) -> Number:
    return ten_to(-171.9065 - 0.077993 * kelvin + 2839.319 / kelvin + 71.595 * lg(kelvin))


def aragonite_product(kelvin: Number) -> Number:
    return ten_to(-171.9773 - 0.077993 * kelvin + 2903.293 / kelvin + 71.595 * lg(kelvin))


def ion_activity(kelvin: Number, ionic_mol_kg: Number) -> Number:
    """Return the activity coefficient of an ion of one charge; of z charges, to the power z²."""
    root_i = root(ionic_mol_kg)
    return ten_to(-_debye_hueckel(kelvin) * (root_i / (1 + root_i) - 0.3 * ionic_mol_kg))


def gas_activity(ionic_mol_kg: Number) -> Number:
    return ten_to(0.1 * ionic_mol_kg)


def _debye_hueckel(kelvin: Number) -> Number:
    """Return the slope for one charge, 0.510 at 25 °C."""
    celsius = kelvin - KELVIN_AT_ZERO_CELSIUS
    dielectric = 87.740 + celsius * (-0.40008 + celsius * (9.398e-4 - 1.410e-6 * celsius))
    product = dielectric * kelvin
    return 1.82e6 / (product * root(product))
