"""The steps of a colour kit as choices, and which plain methods a parameter has. Pure."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import Final

from facility.rules.wording import written

# What a parameter is commonly measured with: common practice, no source.
USUAL: Final = {
    "TAN": ("colour kit", "photometer"),
    "NITRITE": ("colour kit", "photometer"),
    "NITRATE": ("colour kit", "photometer"),
    "PH": ("probe", "colour kit"),
    "ALKALINITY": ("titration", "photometer"),
    "TEMPERATURE": ("probe",),
    "SALINITY": ("probe",),
    "OXYGEN": ("probe", "titration"),
    "CHLORINE": ("photometer", "colour kit"),
}


def step_entries(steps: Sequence[Decimal], *, lowest: Decimal | None) -> Iterator[tuple[str, str]]:
    """Yield what is entered for each step, and between two steps, with its words.

    A step below what the kit can tell is a limit: the step printed 0 means below the lowest.
    """
    floor = lowest if lowest is not None else (steps[0] if steps else Decimal(0))
    told = [step for step in steps if step >= floor and step > 0]
    if len(told) < len(steps) or (lowest is not None and lowest > 0):
        limit = written(floor if floor > 0 else told[0])
        yield f"<{limit}", f"below {limit}"
    for step, following in pairwise(told):
        yield written(step), written(step)
        between = f"{written(step)}-{written(following)}"
        yield between, f"{written(step)} to {written(following)}"
    if told:
        yield written(told[-1]), written(told[-1])
        yield f">{written(told[-1])}", f"over {written(told[-1])}"
