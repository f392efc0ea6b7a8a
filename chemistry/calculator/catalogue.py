"""Every calculation there is; a subject's module adds its own and is named here once."""

from typing import Final

from chemistry.calculator import (
    agreement,
    ammonia,
    control,
    detection,
    doubt,
    drift,
    recovery,
    shares,
)
from chemistry.calculator.given import near
from chemistry.calculator.terms import Calculation
from chemistry.calculator.wording import quoted

CALCULATIONS: Final[tuple[Calculation, ...]] = (
    *ammonia.CALCULATIONS,
    *doubt.CALCULATIONS,
    *agreement.CALCULATIONS,
    *recovery.CALCULATIONS,
    *detection.CALCULATIONS,
    *control.CALCULATIONS,
    *drift.CALCULATIONS,
    *shares.CALCULATIONS,
)

_BY_NAME: Final = {calculation.name: calculation for calculation in CALCULATIONS}


class UnknownCalculation(LookupError):  # noqa: N818 - the house names refusals by what is so
    """No calculation has this name."""


def calculation(name: str) -> Calculation:
    """Return the calculation so named.

    Raises:
        UnknownCalculation: with the nearest names there are.
    """
    try:
        return _BY_NAME[name]
    except KeyError:
        raise UnknownCalculation(
            f"There is no calculation {quoted(name)}.{near(name, _BY_NAME)}"
        ) from None
