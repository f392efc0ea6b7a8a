"""Where a formula holds, kept as data beside it."""

from dataclasses import dataclass
from typing import Final, TypeAlias, TypeVar, overload

import numpy as np
import numpy.typing as npt

Floats: TypeAlias = npt.NDArray[np.float64]
# A formula takes one number or an array of them, and answers in kind.
Number = TypeVar("Number", float, Floats)


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """The closed interval in which a quantity is accepted, and who says so."""

    name: str
    unit: str
    low: float
    high: float
    source: str = ""

    def __contains__(self, value: float) -> bool:
        return bool(self.low <= value <= self.high)

    def first_outside(self, values: float | Floats) -> float | None:
        """Return the first value that is not inside (NaN never is), None when all are."""
        if isinstance(values, float | int):
            return None if values in self else values
        # Two passes without a copy; NaN is the least and the greatest of its array.
        if values.size == 0 or (self.low <= values.min() and values.max() <= self.high):
            return None
        outside = ~((self.low <= values) & (values <= self.high))
        return float(values[outside][0]) if outside.any() else None


class OutOfRange(ValueError):  # noqa: N818 - the house names refusals by what is so
    """A number lies where the formula was never said to hold.

    ``field`` is the argument's name, so that a form can put the sentence beside it.
    """

    def __init__(self, accepted: Range, *, field: str, value: float) -> None:
        self.accepted = accepted
        self.field = field
        self.value = value
        super().__init__(_sentence(accepted, value))


LITRES: Final = Range(name="volume", unit="L", low=0.01, high=1e8)
CONCENTRATION: Final = Range(name="concentration", unit="mg/L", low=0.0, high=1e5)
GRAMS: Final = Range(name="weight", unit="g", low=0.0, high=1e8)
SHARE: Final = Range(name="share", unit="", low=0.0, high=1.0)
SHARE_ABOVE_ZERO: Final = Range(name="purity (1 is pure)", unit="", low=0.001, high=1.0)


def within(accepted: Range, **values: float | Floats) -> None:
    """Let every named value or array pass, or refuse the first that lies outside.

    Raises:
        OutOfRange: naming the argument and the accepted interval.
    """
    for field, value in values.items():
        outside = accepted.first_outside(value)
        if outside is not None:
            raise OutOfRange(accepted, field=field, value=outside)


@overload
def plain(value: float) -> float: ...
@overload
def plain(value: Floats) -> Floats: ...
def plain(value: float | Floats) -> float | Floats:
    """Return one of NumPy's own numbers as Python's, an array as it is."""
    return float(value) if isinstance(value, float | int) else value


def _sentence(accepted: Range, value: float) -> str:
    unit = f" {accepted.unit}" if accepted.unit else ""
    why = f" ({accepted.source})" if accepted.source else ""
    return (
        f"The {accepted.name} of {value:g}{unit} is outside "
        f"{accepted.low:g} to {accepted.high:g}{unit}{why}."
    )
