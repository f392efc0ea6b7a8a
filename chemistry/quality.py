"""How far two results agree, and how well a known amount is found again.

Relative percent difference and recovery as in Standard Methods 1020 B (from memory,
unverified); the test of agreement is the zeta score of ISO 13528: a difference over its
standard uncertainty, beyond 2 questionable, beyond 3 unacceptable (from memory, unverified).
"""

import math
from typing import Final

import numpy as np

from chemistry.domain import LITRES, Number, Range, within

RESULT: Final = Range(name="result", unit="", low=0.0, high=1e6)
DOUBT: Final = Range(name="standard uncertainty", unit="", low=0.0, high=1e6)
STEP: Final = Range(name="step of the kit", unit="", low=0.0, high=1e6)

QUESTIONABLE: Final = 2.0
UNACCEPTABLE: Final = 3.0


def relative_difference(*, first: Number, second: Number) -> Number:
    """Return |first - second| over their mean (0 to 2); both may not be zero."""
    within(RESULT, first=first, second=second)
    within(_ABOVE_ZERO, first=first + second)
    return abs(first - second) / ((first + second) / 2)


def zeta(*, first: Number, second: Number, first_doubt: Number, second_doubt: Number) -> Number:
    """Return the difference in units of its standard uncertainty; one doubt must be above zero."""
    within(RESULT, first=first, second=second)
    within(DOUBT, first_doubt=first_doubt, second_doubt=second_doubt)
    together: Number = np.hypot(first_doubt, second_doubt)
    within(_ABOVE_ZERO, first_doubt=together)
    return (first - second) / together


def recovery(
    *, unspiked: Number, spiked: Number, sample_l: Number, standard_l: Number, standard: Number
) -> Number:
    """Return the share of an added standard found again, the sample's dilution allowed for.

    ``unspiked``, ``spiked`` and ``standard`` are concentrations in one unit.
    """
    within(RESULT, unspiked=unspiked, spiked=spiked)
    within(_ABOVE_ZERO, standard=standard)
    within(_SPIKE_LITRES, sample_l=sample_l, standard_l=standard_l)
    found = spiked * (sample_l + standard_l) - unspiked * sample_l
    return found / (standard * standard_l)


def step_uncertainty(*, step: float) -> float:
    """Return the standard uncertainty of reading to the nearest ``step``: step/√12."""
    within(STEP, step=step)
    return step / math.sqrt(12)


_ABOVE_ZERO: Final = Range(name="quantity", unit="", low=1e-9, high=1e7)
_SPIKE_LITRES: Final = Range(name="volume", unit="L", low=1e-6, high=LITRES.high)
