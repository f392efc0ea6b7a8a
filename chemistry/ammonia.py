"""How much of total ammonia is the un-ionised part, NH₃.

Fresh water: Emerson, Russo, Lund & Thurston (1975), J. Fish. Res. Board Can. 32:2379.
Sea water, NBS pH: US EPA (1989), *Ambient Water Quality Criteria for Ammonia (Saltwater)*,
EPA 440/5-88-004. Sea water, total-scale pH: Clegg & Whitfield (1995), Geochim. Cosmochim.
Acta 59:2403, eq. 18. A constant means nothing without its pH scale: at S 35, 25 °C the
total-scale sea-water pK (9.2458) happens to equal Emerson's fresh-water one (9.2464), so a
mixed-up scale looks confirmed and is 18-35 % too high. Never use the sea-water expression
printed by Khoo et al. (1977): it is wrong by up to 500 % (Bell et al. 2007, Environ. Chem.
4:183). Scale-consistent formulas still differ by about 14 %.
"""

import math
from dataclasses import dataclass
from typing import Final

from chemistry.constants import KELVIN_AT_ZERO_CELSIUS
from chemistry.domain import CONCENTRATION, Range, within
from chemistry.ph_scales import SALINITY as NBS_SALINITY
from chemistry.ph_scales import PhScale, total_from_nbs

# The acid-base law itself has no pH limits; these are what a tank or a kit can show.
PH: Final = Range(name="pH", unit="", low=4.0, high=11.0)
EMERSON_TEMPERATURE: Final = Range(
    name="temperature", unit="°C", low=0.0, high=50.0, source="Emerson et al. 1975"
)
SEAWATER_TEMPERATURE: Final = Range(
    name="temperature", unit="°C", low=-2.0, high=40.0, source="Clegg & Whitfield 1995"
)
EPA_TEMPERATURE: Final = Range(
    name="temperature", unit="°C", low=0.0, high=40.0, source="US EPA 1989"
)
SALINITY: Final = Range(name="salinity", unit="g/kg", low=0.0, high=40.0)

FRESH_UP_TO_G_KG: Final = 0.5
METHOD_SPREAD: Final = 0.14


@dataclass(frozen=True, slots=True, kw_only=True)
class Unionised:
    """The share of total ammonia present as NH₃ (0 to 1), by which method, with what caution."""

    fraction: float
    method: str
    note: str


def unionised(
    *,
    ph: float,
    temperature_c: float,
    salinity_g_kg: float = 0.0,
    ph_scale: PhScale = PhScale.NBS,
) -> Unionised:
    """Choose the method by salinity and pH scale, and say so.

    Raises:
        OutOfRange: outside the chosen method's range, or pH 4-11, or salinity 0-40.
    """
    within(SALINITY, salinity_g_kg=salinity_g_kg)
    if salinity_g_kg <= FRESH_UP_TO_G_KG:
        fraction = emerson_fraction(ph=ph, temperature_c=temperature_c)
        return Unionised(
            fraction=fraction,
            method="Emerson et al. 1975",
            note="Fresh water, on NBS pH." if ph_scale is PhScale.NBS else _FRESH_ON_TOTAL,
        )
    if ph_scale is PhScale.TOTAL:
        fraction = clegg_whitfield_fraction(
            ph_total=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg
        )
        return Unionised(fraction=fraction, method="Clegg & Whitfield 1995", note=_ON_TOTAL)
    fraction = epa_1989_fraction(ph=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    note = _on_nbs(fraction, ph=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    return Unionised(fraction=fraction, method="US EPA 1989", note=note)


_FRESH_ON_TOTAL: Final = "Fresh water; the difference between pH scales is left out."
_ON_TOTAL: Final = "Salt water, on total-scale pH; methods differ by about 4 %."


def _on_nbs(fraction: float, *, ph: float, temperature_c: float, salinity_g_kg: float) -> str:
    """Say how far the other scale-consistent method lies, where the pH can be converted."""
    if salinity_g_kg not in NBS_SALINITY:
        return f"Salt water, on NBS pH; methods differ by up to {METHOD_SPREAD:.0%}."
    ph_total = total_from_nbs(ph_nbs=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    other = clegg_whitfield_fraction(
        ph_total=ph_total, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg
    )
    gap = other / fraction - 1
    return f"Salt water, on NBS pH; Clegg & Whitfield 1995 on converted pH gives {gap:+.0%}."


def emerson_pka(*, temperature_c: float) -> float:
    """Return the acidity constant of ammonium at zero salinity."""
    within(EMERSON_TEMPERATURE, temperature_c=temperature_c)
    return 0.09018 + 2729.92 / (temperature_c + KELVIN_AT_ZERO_CELSIUS)


def emerson_fraction(*, ph: float, temperature_c: float) -> float:
    within(PH, ph=ph)
    return _fraction(emerson_pka(temperature_c=temperature_c), ph)


def clegg_whitfield_pk(*, temperature_c: float, salinity_g_kg: float) -> float:
    """Return the stoichiometric pK* on the total scale, mol/kg-sw, fitted to ±0.00015."""
    within(SEAWATER_TEMPERATURE, temperature_c=temperature_c)
    within(SALINITY, salinity_g_kg=salinity_g_kg)
    kelvin = temperature_c + KELVIN_AT_ZERO_CELSIUS
    root = math.sqrt(kelvin)
    s = salinity_g_kg
    pk_per_kg_water = (
        9.244605
        - 2729.33 * (1 / 298.15 - 1 / kelvin)
        + (0.04203362 - 11.24742 / kelvin) * s**0.25
        + (-13.6416 + 1.176949 * root - 0.02860785 * kelvin + 545.4834 / kelvin) * s**0.5
        + (-0.1462507 + 0.0090226468 * root - 0.0001471361 * kelvin + 10.5425 / kelvin) * s**1.5
        + (0.004669309 - 0.0001691742 * root - 0.5677934 / kelvin) * s**2
        + (-2.354039e-5 + 0.009698623 / kelvin) * s**2.5
    )
    # Leaving this step out shifts pK by 0.0155, 3.5 % of the NH₃.
    return float(pk_per_kg_water) - math.log10(1 - 0.001005 * s)


def clegg_whitfield_fraction(
    *, ph_total: float, temperature_c: float, salinity_g_kg: float
) -> float:
    within(PH, ph_total=ph_total)
    pk = clegg_whitfield_pk(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    return _fraction(pk, ph_total)


def epa_1989_pk(*, temperature_c: float, salinity_g_kg: float) -> float:
    """Return the effective pK for NBS pH, at one atmosphere."""
    within(EPA_TEMPERATURE, temperature_c=temperature_c)
    within(SALINITY, salinity_g_kg=salinity_g_kg)
    kelvin = temperature_c + KELVIN_AT_ZERO_CELSIUS
    ionic_strength = 19.9273 * salinity_g_kg / (1000 - 1.005109 * salinity_g_kg)
    return 9.245 + 0.116 * ionic_strength + 0.0324 * (298 - kelvin) + 0.0415 / kelvin


def epa_1989_fraction(*, ph: float, temperature_c: float, salinity_g_kg: float) -> float:
    within(PH, ph=ph)
    return _fraction(epa_1989_pk(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg), ph)


def relative_uncertainty(
    *,
    fraction: float,
    temperature_c: float,
    ph_uncertainty: float,
    temperature_uncertainty_c: float,
    tan_relative_uncertainty: float,
) -> float:
    """Return the relative standard uncertainty of NH₃ = TAN × fraction, to first order.

    Emerson's temperature slope is used for all waters. At pH 8, 25 °C an uncertainty of
    0.1 pH alone makes 22 %: show free ammonia with two figures at most.
    """
    kelvin = temperature_c + KELVIN_AT_ZERO_CELSIUS
    per_ph = math.log(10) * (1 - fraction)
    per_kelvin = per_ph * 2729.92 / kelvin**2
    return math.hypot(
        tan_relative_uncertainty,
        per_ph * ph_uncertainty,
        per_kelvin * temperature_uncertainty_c,
    )


def unionised_mg_l_n(*, tan_mg_l_n: float, fraction: float) -> float:
    """Return NH₃ as N; the fraction multiplies total ammonia in whatever basis it is in."""
    within(CONCENTRATION, tan_mg_l_n=tan_mg_l_n)
    return tan_mg_l_n * fraction


def _fraction(pk: float, ph: float) -> float:
    return float(1.0 / (1.0 + 10.0 ** (pk - ph)))
