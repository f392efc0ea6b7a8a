"""Elementary functions that answer in kind: a float for a number, an array for an array.

Python's own for numbers (ten times faster there, and no NumPy number leaks out), NumPy's for
arrays. Formulas keep their arguments in ranges where none of these can overflow.
"""

import math
from typing import Final, overload

import numpy as np

from chemistry.domain import Floats

LN_10: Final = math.log(10)


@overload
def exp(value: float) -> float: ...
@overload
def exp(value: Floats) -> Floats: ...
def exp(value: float | Floats) -> float | Floats:
    return math.exp(value) if isinstance(value, float | int) else np.exp(value)


@overload
def ln(value: float) -> float: ...
@overload
def ln(value: Floats) -> Floats: ...
def ln(value: float | Floats) -> float | Floats:
    return math.log(value) if isinstance(value, float | int) else np.log(value)


@overload
def lg(value: float) -> float: ...
@overload
def lg(value: Floats) -> Floats: ...
def lg(value: float | Floats) -> float | Floats:
    """Return the logarithm to base ten."""
    return math.log10(value) if isinstance(value, float | int) else np.log10(value)


@overload
def root(value: float) -> float: ...
@overload
def root(value: Floats) -> Floats: ...
def root(value: float | Floats) -> float | Floats:
    return math.sqrt(value) if isinstance(value, float | int) else np.sqrt(value)


@overload
def ten_to(power: float) -> float: ...
@overload
def ten_to(power: Floats) -> Floats: ...
def ten_to(power: float | Floats) -> float | Floats:
    """Return 10 to ``power``; for arrays by exp, which NumPy computes several times faster."""
    return math.exp(LN_10 * power) if isinstance(power, float | int) else np.exp(LN_10 * power)


@overload
def least(value: float, other: float) -> float: ...
@overload
def least(value: Floats, other: float | Floats) -> Floats: ...
def least(value: float | Floats, other: float | Floats) -> float | Floats:
    if isinstance(value, float | int) and isinstance(other, float | int):
        return min(value, other)
    return np.minimum(value, other)


@overload
def greatest(value: float, other: float) -> float: ...
@overload
def greatest(value: Floats, other: float | Floats) -> Floats: ...
def greatest(value: float | Floats, other: float | Floats) -> float | Floats:
    if isinstance(value, float | int) and isinstance(other, float | int):
        return max(value, other)
    return np.maximum(value, other)
