"""Quantiles of Student's t and of chi-square, for whole degrees of freedom.

The finite series of Abramowitz & Stegun (1964), 26.7.3-26.7.4 and 26.4.4-26.4.5, inverted by
halving; exact to rounding, without a statistics library at run time.
"""

import math
from collections.abc import Callable
from typing import Final

from chemistry.domain import Range, within

DEGREES: Final = Range(name="degrees of freedom", unit="", low=1, high=1000)
PROBABILITY: Final = Range(name="probability", unit="", low=1e-6, high=1 - 1e-6)

_HALVINGS: Final = 100


def t_quantile(probability: float, *, degrees: int) -> float:
    """Return the value that Student's t stays below with ``probability`` (one-sided)."""
    _check(probability, degrees)
    if probability < 1 / 2:
        return -t_quantile(1 - probability, degrees=degrees)
    return _inverse(lambda t: (1 + _t_inside(t, degrees)) / 2, probability)


def chi_square_quantile(probability: float, *, degrees: int) -> float:
    """Return the value that chi-square stays below with ``probability``."""
    _check(probability, degrees)
    return _inverse(lambda x: 1 - _chi_square_above(x, degrees), probability)


def _check(probability: float, degrees: int) -> None:
    within(PROBABILITY, probability=probability)
    within(DEGREES, degrees=float(degrees))


def _t_inside(t: float, degrees: int) -> float:
    """Return the probability of lying between -t and t."""
    angle = math.atan2(t, math.sqrt(degrees))
    cosine_squared = math.cos(angle) ** 2
    is_odd = degrees % 2
    term = math.cos(angle) if is_odd else 1.0
    total = term if degrees > 1 else 0.0
    for step in range(2 + is_odd, degrees - 1, 2):
        term *= cosine_squared * (step - 1) / step
        total += term
    inside = math.sin(angle) * total
    return 2 / math.pi * (angle + inside) if is_odd else inside


def _chi_square_above(x: float, degrees: int) -> float:
    """Return the probability of lying above ``x``, which must not be zero."""
    is_odd = degrees % 2
    above = math.erfc(math.sqrt(x / 2)) if is_odd else 0.0
    # Logarithms, because e^(-x/2) underflows long before the sum does.
    log_term = -x / 2 + (math.log(2 * x / math.pi) / 2 if is_odd else 0.0)
    for step in range(2 + is_odd, degrees + 1, 2):
        above += math.exp(log_term)
        log_term += math.log(x / step)
    return above


def _inverse(rising: Callable[[float], float], probability: float) -> float:
    low, high = 0.0, 1.0
    while rising(high) < probability:
        low, high = high, high * 2
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if rising(middle) < probability else (low, middle)
    return high
