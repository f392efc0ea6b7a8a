"""Published limits for aquatic life, each in the basis it was published in.

Fresh water: US EPA (2013), *Aquatic Life Ambient Water Quality Criteria for Ammonia -
Freshwater*, EPA 822-R-13-001: total ammonia as **N**; acute is a 1-hour, chronic a 30-day
average. Salt water: US EPA (1989), EPA 440/5-88-004: un-ionised ammonia as **NH₃**, 1-hour
and 4-day averages. Chlorine: US EPA (1985), EPA 440/5-84-030, 1-hour and 4-day averages.
Public copies of the 2013 chronic formula print ``10 - max(t, 7)`` for ``20 -``: half the limit.
"""

from typing import Final

from chemistry.ammonium import epa_1989_fraction
from chemistry.domain import Range, within
from chemistry.nitrogen import Basis, to_nitrogen

FRESH_PH: Final = Range(name="pH", unit="", low=6.5, high=9.0, source="US EPA 2013, tables")
FRESH_TEMPERATURE: Final = Range(
    name="temperature", unit="°C", low=0.0, high=30.0, source="US EPA 2013, tables"
)
# The printed salt-water tables stop at 10, 20 and 30 g/kg; their formula is used up to sea water.
SALT_SALINITY: Final = Range(name="salinity", unit="g/kg", low=0.5, high=40.0, source="US EPA 1989")
SALT_PH: Final = Range(name="pH", unit="", low=7.0, high=9.0, source="US EPA 1989, tables")
SALT_TEMPERATURE: Final = Range(
    name="temperature", unit="°C", low=0.0, high=35.0, source="US EPA 1989, tables"
)

SALT_ACUTE_UNIONISED_MG_L_NH3: Final = 0.233
SALT_CHRONIC_UNIONISED_MG_L_NH3: Final = 0.035

FRESH_CHLORINE_ACUTE_UG_L_CL2: Final = 19.0
FRESH_CHLORINE_CHRONIC_UG_L_CL2: Final = 11.0
SALT_CHLORINE_ACUTE_UG_L_CL2: Final = 13.0
SALT_CHLORINE_CHRONIC_UG_L_CL2: Final = 7.5


def fresh_acute_mg_l_n(*, ph: float, temperature_c: float) -> float:
    """Return the 1-hour limit of TAN where no salmonids live."""
    _check_fresh(ph, temperature_c)
    return _acute_by_ph(ph) * min(51.93, _invertebrates(temperature_c))


def fresh_acute_with_salmonids_mg_l_n(*, ph: float, temperature_c: float) -> float:
    """Return the 1-hour limit of TAN where salmonids live."""
    _check_fresh(ph, temperature_c)
    salmonids = _sigmoid(ph, pivot=7.204, alkaline=0.275, acid=39.0)
    return min(salmonids, _acute_by_ph(ph) * _invertebrates(temperature_c))


def fresh_chronic_mg_l_n(*, ph: float, temperature_c: float) -> float:
    """Return the 30-day limit of TAN; flat below 7 °C."""
    _check_fresh(ph, temperature_c)
    by_ph = 0.8876 * _sigmoid(ph, pivot=7.688, alkaline=0.0278, acid=1.1994)
    return float(by_ph * 2.126 * 10 ** (0.028 * (20 - max(temperature_c, 7.0))))


def salt_acute_mg_l_nh3(*, ph: float, temperature_c: float, salinity_g_kg: float) -> float:
    """Return the 1-hour limit of *total* ammonia as NH₃, for pH on the NBS scale."""
    share = _salt_fraction(ph, temperature_c, salinity_g_kg)
    return SALT_ACUTE_UNIONISED_MG_L_NH3 / share


def salt_chronic_mg_l_nh3(*, ph: float, temperature_c: float, salinity_g_kg: float) -> float:
    """Return the 4-day limit of *total* ammonia as NH₃, for pH on the NBS scale."""
    share = _salt_fraction(ph, temperature_c, salinity_g_kg)
    return SALT_CHRONIC_UNIONISED_MG_L_NH3 / share


def salt_acute_mg_l_n(*, ph: float, temperature_c: float, salinity_g_kg: float) -> float:
    """Return the 1-hour limit as TAN, comparable with the fresh-water ones."""
    total = salt_acute_mg_l_nh3(ph=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    return to_nitrogen(total, basis=Basis.NH3)


def salt_chronic_mg_l_n(*, ph: float, temperature_c: float, salinity_g_kg: float) -> float:
    """Return the 4-day limit as TAN, comparable with the fresh-water ones."""
    total = salt_chronic_mg_l_nh3(ph=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    return to_nitrogen(total, basis=Basis.NH3)


def _check_fresh(ph: float, temperature_c: float) -> None:
    within(FRESH_PH, ph=ph)
    within(FRESH_TEMPERATURE, temperature_c=temperature_c)


def _acute_by_ph(ph: float) -> float:
    return 0.7249 * _sigmoid(ph, pivot=7.204, alkaline=0.0114, acid=1.6181)


def _invertebrates(temperature_c: float) -> float:
    return float(23.12 * 10 ** (0.036 * (20 - temperature_c)))


def _sigmoid(ph: float, *, pivot: float, alkaline: float, acid: float) -> float:
    return float(alkaline / (1 + 10 ** (pivot - ph)) + acid / (1 + 10 ** (ph - pivot)))


def _salt_fraction(ph: float, temperature_c: float, salinity_g_kg: float) -> float:
    within(SALT_PH, ph=ph)
    within(SALT_TEMPERATURE, temperature_c=temperature_c)
    within(SALT_SALINITY, salinity_g_kg=salinity_g_kg)
    return epa_1989_fraction(ph=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
