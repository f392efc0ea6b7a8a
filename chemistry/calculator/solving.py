"""Running a calculation's formula, so that whatever goes wrong is a sentence beside an ask."""

import math
from collections.abc import Mapping
from typing import Final

import numpy as np

from chemistry.calculator.given import BadInput
from chemistry.calculator.terms import Calculation, Unsolved, Value, Worked
from chemistry.domain import OutOfRange


def solved(calculation: Calculation, values: Mapping[str, Value]) -> Worked:
    """Return the formula's answer; every number in it is finite.

    Raises:
        BadInput: outside the formula's own range, or no answer to these numbers together.
    """
    try:
        with np.errstate(all="ignore"):
            worked = calculation.solve(**values)
    except OutOfRange as fault:
        raise BadInput(_placed(calculation, fault)) from fault
    except Unsolved as fault:
        raise BadInput({fault.field: str(fault)}) from fault
    except ArithmeticError as fault:
        raise BadInput({"": _BEYOND}) from fault
    if not all(math.isfinite(value) for value in worked.values.values()):
        raise BadInput({"": _BEYOND})
    return worked


_BEYOND: Final = "These numbers together lead beyond what can be computed; check them one by one."


def _placed(calculation: Calculation, fault: OutOfRange) -> dict[str, str]:
    """Return the sentence beside the ask whose number the formula refused."""
    name = calculation.arguments.get(fault.field) or _origin(calculation, fault.field)
    label = next((ask.label for ask in calculation.asks if ask.name == name), "")
    sentence = f"{str(fault).removesuffix('.')}; check the number and its unit."
    return {name: f"{label}: {sentence[0].lower()}{sentence[1:]}" if label else sentence}


def _origin(calculation: Calculation, argument: str) -> str:
    """Return the longest ask that the argument's name begins with: ``ph`` for ``ph_total``."""
    names = (ask.name for ask in calculation.asks if f"{argument}_".startswith(f"{ask.name}_"))
    return max(names, key=len, default="")
