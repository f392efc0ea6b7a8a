"""The acidity constant of ammonium, by each published fit, and the NH₃ it leaves.

Fresh water: Emerson, Russo, Lund & Thurston (1975), J. Fish. Res. Board Can. 32:2379.
Sea water, NBS pH: US EPA (1989), *Ambient Water Quality Criteria for Ammonia (Saltwater)*,
EPA 440/5-88-004. Sea water, total-scale pH: Clegg & Whitfield (1995), Geochim. Cosmochim.
Acta 59:2403, eq. 18. Sea water, sea-water-scale pH: Yao & Millero (1995), Aquat. Geochem. 1:53.

A constant means nothing without its pH scale: at S 35, 25 °C the total-scale sea-water pK
(9.2458) happens to equal Emerson's fresh-water one (9.2464), so a mixed-up scale looks
confirmed and is 18-35 % too high. Not offered: the sea-water expression printed by Khoo et al.
(1977), wrong by up to 500 % (Bell et al. 2007, Environ. Chem. 4:183); Bell's own refit, whose
scale is unsure; the tables of Bower & Bidwell (1978), 0.028 pK above EPA's from the same model.
"""

from typing import Final

from chemistry.constants import KELVIN_AT_ZERO_CELSIUS
from chemistry.domain import Number, Range, within
from chemistry.elementary import LN_10, lg, root, ten_to

# The acid-base law itself has no pH limits; these are what a tank or a kit can show.
PH: Final = Range(name="pH", unit="", low=4.0, high=11.0)
EMERSON_TEMPERATURE: Final = Range(
    name="temperature", unit="°C", low=0.0, high=50.0, source="Emerson et al. 1975"
)
SEAWATER_TEMPERATURE: Final = Range(
    name="temperature", unit="°C", low=-2.0, high=40.0, source="Clegg & Whitfield 1995"
)
YAO_MILLERO_TEMPERATURE: Final = Range(
    name="temperature", unit="°C", low=0.0, high=45.0, source="Yao & Millero 1995"
)
EPA_TEMPERATURE: Final = Range(
    name="temperature", unit="°C", low=0.0, high=40.0, source="US EPA 1989"
)
SALINITY: Final = Range(name="salinity", unit="g/kg", low=0.0, high=40.0)

EMERSON_SLOPE_K: Final = 2729.92


def emerson_pka(*, temperature_c: Number) -> Number:
    """Return the acidity constant of ammonium at zero salinity."""
    within(EMERSON_TEMPERATURE, temperature_c=temperature_c)
    return 0.09018 + EMERSON_SLOPE_K / (temperature_c + KELVIN_AT_ZERO_CELSIUS)


def emerson_fraction(*, ph: Number, temperature_c: Number) -> Number:
    within(PH, ph=ph)
    return _fraction(emerson_pka(temperature_c=temperature_c), ph)


def clegg_whitfield_pk(*, temperature_c: Number, salinity_g_kg: Number) -> Number:
    """Return the stoichiometric pK* on the total scale, mol/kg-sw, fitted to ±0.00015."""
    within(SEAWATER_TEMPERATURE, temperature_c=temperature_c)
    within(SALINITY, salinity_g_kg=salinity_g_kg)
    kelvin = temperature_c + KELVIN_AT_ZERO_CELSIUS
    root_k = root(kelvin)
    s = salinity_g_kg
    pk_per_kg_water: Number = (
        9.244605
        - 2729.33 * (1 / 298.15 - 1 / kelvin)
        + (0.04203362 - 11.24742 / kelvin) * s**0.25
        + (-13.6416 + 1.176949 * root_k - 0.02860785 * kelvin + 545.4834 / kelvin) * s**0.5
        + (-0.1462507 + 0.0090226468 * root_k - 0.0001471361 * kelvin + 10.5425 / kelvin) * s**1.5
        + (0.004669309 - 0.0001691742 * root_k - 0.5677934 / kelvin) * s**2
        + (-2.354039e-5 + 0.009698623 / kelvin) * s**2.5
    )
    # Leaving this step out shifts pK by 0.0155, 3.5 % of the NH₃.
    return pk_per_kg_water - lg(1 - 0.001005 * s)


def clegg_whitfield_fraction(
    *, ph_total: Number, temperature_c: Number, salinity_g_kg: Number
) -> Number:
    within(PH, ph_total=ph_total)
    pk = clegg_whitfield_pk(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    return _fraction(pk, ph_total)


def yao_millero_pk(*, temperature_c: Number, salinity_g_kg: Number) -> Number:
    """Return the stoichiometric pK* on the *sea-water* scale, mol/kg-sw.

    The coefficients were seen alike in three public libraries, the paper itself was not.
    """
    within(YAO_MILLERO_TEMPERATURE, temperature_c=temperature_c)
    within(SALINITY, salinity_g_kg=salinity_g_kg)
    kelvin = temperature_c + KELVIN_AT_ZERO_CELSIUS
    ln_constant = (
        -6285.33 / kelvin
        + 0.0001635 * kelvin
        - 0.25444
        + (0.46532 - 123.7184 / kelvin) * root(salinity_g_kg)
        + (-0.01992 + 3.17556 / kelvin) * salinity_g_kg
    )
    return -ln_constant / LN_10


def yao_millero_fraction(
    *, ph_seawater: Number, temperature_c: Number, salinity_g_kg: Number
) -> Number:
    within(PH, ph_seawater=ph_seawater)
    pk = yao_millero_pk(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    return _fraction(pk, ph_seawater)


def epa_1989_pk(*, temperature_c: Number, salinity_g_kg: Number) -> Number:
    """Return the effective pK for NBS pH, at one atmosphere."""
    within(EPA_TEMPERATURE, temperature_c=temperature_c)
    within(SALINITY, salinity_g_kg=salinity_g_kg)
    kelvin = temperature_c + KELVIN_AT_ZERO_CELSIUS
    ionic_strength = 19.9273 * salinity_g_kg / (1000 - 1.005109 * salinity_g_kg)
    return 9.245 + 0.116 * ionic_strength + 0.0324 * (298 - kelvin) + 0.0415 / kelvin


def epa_1989_fraction(*, ph: Number, temperature_c: Number, salinity_g_kg: Number) -> Number:
    within(PH, ph=ph)
    return _fraction(epa_1989_pk(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg), ph)


def _fraction(pk: Number, ph: Number) -> Number:
    ratio = ten_to(pk - ph)
    ratio += 1.0
    return 1.0 / ratio
