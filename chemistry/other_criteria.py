"""Ammonia limits of another authority, or superseded ones that some local rules still carry.

US EPA (1999), EPA 822-R-99-014, as restated in South Dakota rule 74:51:01 App. A: total ammonia
as **N**; replaced in 2013 by limits about half as high. Canada (CCME 2010): **un-ionised**
ammonia as **NH₃**, 0.019 mg/L, by Emerson's fraction, as coded by a user of the guideline; its
printed table was not seen. Which of these binds a keeper is for the local authority to say.
"""

from typing import Final

from chemistry.ammonium import emerson_fraction
from chemistry.criteria import FRESH_PH, FRESH_TEMPERATURE
from chemistry.domain import Number, within
from chemistry.elementary import least, ten_to
from chemistry.nitrogen import Basis, to_nitrogen

CCME_UNIONISED_MG_L_NH3: Final = 0.019


def fresh_1999_acute_mg_l_n(*, ph: Number) -> Number:
    """Return the superseded 1-hour limit of TAN where no salmonids live."""
    within(FRESH_PH, ph=ph)
    return _sigmoid(ph, pivot=7.204, alkaline=0.411, acid=58.4)


def fresh_1999_acute_with_salmonids_mg_l_n(*, ph: Number) -> Number:
    """Return the superseded 1-hour limit of TAN where salmonids live."""
    within(FRESH_PH, ph=ph)
    return _sigmoid(ph, pivot=7.204, alkaline=0.275, acid=39.0)


def fresh_1999_chronic_mg_l_n(*, ph: Number, temperature_c: Number) -> Number:
    """Return the superseded 30-day limit of TAN with early life stages of fish present."""
    within(FRESH_PH, ph=ph)
    within(FRESH_TEMPERATURE, temperature_c=temperature_c)
    by_ph = _sigmoid(ph, pivot=7.688, alkaline=0.0577, acid=2.487)
    return by_ph * least(1.45 * ten_to(0.028 * (25 - temperature_c)), 2.85)


def ccme_2010_mg_l_n(*, ph: Number, temperature_c: Number) -> Number:
    """Return the *total* ammonia as N whose un-ionised part is the Canadian guideline."""
    fraction = emerson_fraction(ph=ph, temperature_c=temperature_c)
    return to_nitrogen(CCME_UNIONISED_MG_L_NH3 / fraction, basis=Basis.NH3)


def _sigmoid(ph: Number, *, pivot: float, alkaline: float, acid: float) -> Number:
    return alkaline / (1 + ten_to(pivot - ph)) + acid / (1 + ten_to(ph - pivot))
