"""How much the answer moves when each measurement is off by its usual doubt.

Each input alone goes up and down by one standard uncertainty, inside its accepted range; the
combined doubt is the root of the summed squares of half the spreads (JCGM 100:2008, 5.1.2, for
independent inputs).
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, TypeAlias

from chemistry.calculator.given import BadInput
from chemistry.calculator.solving import solved
from chemistry.calculator.terms import Calculation, Doubt, Input, Value

Changes: TypeAlias = Mapping[str, float]

_ROUNDING: Final = 1e-12


@dataclass(frozen=True, slots=True, kw_only=True)
class Influence:
    """Changes of every output, by name, for one input off by ``doubt`` in its own unit.

    ``up`` or ``down`` is None where the formula does not hold on that side.
    """

    ask: Input
    doubt: float
    up: Changes | None
    down: Changes | None


def influences(
    calculation: Calculation, values: Mapping[str, Value], answer: Changes
) -> tuple[Influence, ...]:
    """Return one influence for each doubtful input, the strongest on the first output first."""
    found = [
        _influence(calculation, values, answer, ask, ask.doubt)
        for ask in calculation.asks
        if isinstance(ask, Input) and ask.doubt and ask.name in values
    ]
    main = calculation.outputs[0].name
    return tuple(sorted(found, key=lambda one: _spread(one, main), reverse=True))


def combined(calculation: Calculation, found: tuple[Influence, ...]) -> dict[str, float]:
    """Return the standard uncertainty of each output from all doubtful inputs together."""
    return {
        output.name: math.hypot(*(_spread(one, output.name) for one in found))
        for output in calculation.outputs
        if found
    }


def _influence(
    calculation: Calculation,
    values: Mapping[str, Value],
    answer: Changes,
    ask: Input,
    usual: Doubt,
) -> Influence:
    value = values[ask.name]
    doubt = math.hypot(usual.absolute, usual.relative * value) if isinstance(value, float) else 0.0
    return Influence(
        ask=ask,
        doubt=doubt,
        up=_changes(calculation, values, answer, ask=ask, by=doubt),
        down=_changes(calculation, values, answer, ask=ask, by=-doubt),
    )


def _changes(
    calculation: Calculation,
    values: Mapping[str, Value],
    answer: Changes,
    *,
    ask: Input,
    by: float,
) -> Changes | None:
    value = values[ask.name]
    if not isinstance(value, float):
        return None
    moved = min(max(value + by, ask.accepted.low), ask.accepted.high)
    try:
        worked = solved(calculation, {**values, ask.name: moved})
    except BadInput:
        return None
    return {
        name: _change(answer[name], worked.values[name]) for name in answer if name in worked.values
    }


def _change(before: float, after: float) -> float:
    """Return the change, or nothing where only the last bits of the arithmetic moved."""
    return 0.0 if math.isclose(before, after, rel_tol=_ROUNDING) else after - before


def _spread(influence: Influence, output: str) -> float:
    """Return half the distance between both sides; one side's where the other cannot move."""
    up = (influence.up or {}).get(output)
    down = (influence.down or {}).get(output)
    if not up or not down:
        return abs(up or down or 0.0)
    return abs(up - down) / 2
