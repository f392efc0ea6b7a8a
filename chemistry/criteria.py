"""Published limits for aquatic life, each in the basis it was published in.

Fresh water: US EPA (2013), *Aquatic Life Ambient Water Quality Criteria for Ammonia -
Freshwater*, EPA 822-R-13-001: total ammonia as **N**; acute is a 1-hour, chronic a 30-day
average, not to be passed more than once in three years on average. Salt water: US EPA (1989),
EPA 440/5-88-004: un-ionised ammonia as **NH₃**, 1-hour and 4-day averages; often misquoted as
nitrogen. Chlorine: US EPA (1985), EPA 440/5-84-030, 1-hour and 4-day averages.
Public copies of the 2013 chronic formula print ``10 - max(t, 7)`` for ``20 -``: half the limit.
What other authorities set, and what was superseded: ``other_criteria``.
"""

from typing import Final

from chemistry.ammonium import epa_1989_fraction
from chemistry.domain import Number, Range, within
from chemistry.elementary import greatest, least, ten_to
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


def fresh_acute_mg_l_n(*, ph: Number, temperature_c: Number) -> Number:
    """Return the 1-hour limit of TAN where no salmonids live."""
    _check_fresh(ph, temperature_c)
    return _acute_by_ph(ph) * least(_invertebrates(temperature_c), 51.93)


def fresh_acute_with_salmonids_mg_l_n(*, ph: Number, temperature_c: Number) -> Number:
    """Return the 1-hour limit of TAN where salmonids live."""
    _check_fresh(ph, temperature_c)
    salmonids = _sigmoid(ph, pivot=7.204, alkaline=0.275, acid=39.0)
    return least(salmonids, _acute_by_ph(ph) * _invertebrates(temperature_c))


def fresh_chronic_mg_l_n(*, ph: Number, temperature_c: Number) -> Number:
    """Return the 30-day limit of TAN; flat below 7 °C."""
    _check_fresh(ph, temperature_c)
    by_ph = 0.8876 * _sigmoid(ph, pivot=7.688, alkaline=0.0278, acid=1.1994)
    return by_ph * 2.126 * ten_to(0.028 * (20 - greatest(temperature_c, 7.0)))


def fresh_four_day_mg_l_n(*, ph: Number, temperature_c: Number) -> Number:
    """Return what no 4-day average within the 30 days may exceed: 2.5 times the chronic limit.

    Printed for the 1999 criteria; that 2013 keeps it is from memory, unverified.
    """
    return 2.5 * fresh_chronic_mg_l_n(ph=ph, temperature_c=temperature_c)


def salt_acute_mg_l_nh3(*, ph: Number, temperature_c: Number, salinity_g_kg: Number) -> Number:
    """Return the 1-hour limit of *total* ammonia as NH₃, for pH on the NBS scale."""
    share = _salt_fraction(ph, temperature_c, salinity_g_kg)
    return SALT_ACUTE_UNIONISED_MG_L_NH3 / share


def salt_chronic_mg_l_nh3(*, ph: Number, temperature_c: Number, salinity_g_kg: Number) -> Number:
    """Return the 4-day limit of *total* ammonia as NH₃, for pH on the NBS scale."""
    share = _salt_fraction(ph, temperature_c, salinity_g_kg)
    return SALT_CHRONIC_UNIONISED_MG_L_NH3 / share


def salt_acute_mg_l_n(*, ph: Number, temperature_c: Number, salinity_g_kg: Number) -> Number:
    """Return the 1-hour limit as TAN, comparable with the fresh-water ones."""
    total = salt_acute_mg_l_nh3(ph=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    return to_nitrogen(total, basis=Basis.NH3)


def salt_chronic_mg_l_n(*, ph: Number, temperature_c: Number, salinity_g_kg: Number) -> Number:
    """Return the 4-day limit as TAN, comparable with the fresh-water ones."""
    total = salt_chronic_mg_l_nh3(ph=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    return to_nitrogen(total, basis=Basis.NH3)


def _check_fresh(ph: Number, temperature_c: Number) -> None:
    within(FRESH_PH, ph=ph)
    within(FRESH_TEMPERATURE, temperature_c=temperature_c)


def _acute_by_ph(ph: Number) -> Number:
    return 0.7249 * _sigmoid(ph, pivot=7.204, alkaline=0.0114, acid=1.6181)


def _invertebrates(temperature_c: Number) -> Number:
    return 23.12 * ten_to(0.036 * (20 - temperature_c))


def _sigmoid(ph: Number, *, pivot: float, alkaline: float, acid: float) -> Number:
    return alkaline / (1 + ten_to(pivot - ph)) + acid / (1 + ten_to(ph - pivot))


def _salt_fraction(ph: Number, temperature_c: Number, salinity_g_kg: Number) -> Number:
    within(SALT_PH, ph=ph)
    within(SALT_TEMPERATURE, temperature_c=temperature_c)
    within(SALT_SALINITY, salinity_g_kg=salinity_g_kg)
    return epa_1989_fraction(ph=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
