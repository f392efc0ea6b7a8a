"""An answer as rows to look at: its results, and what matters most in it. Pure."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from chemistry.calculator import Answer
from chemistry.calculator.answer import shown_doubt
from chemistry.calculator.sensitivity import Influence
from chemistry.calculator.terms import Output
from chemistry.calculator.wording import rounded
from tanks.rules.calculations import unit_label

_FIGURES: Final = 2
_NO_CHANGE: Final = "no change"
_CANNOT_SAY: Final = "cannot be computed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """One output, rounded; ``doubt`` is one standard uncertainty from all that was measured."""

    label: str
    number: str
    unit: str
    doubt: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """How far one input, off by its usual doubt, moves one output; ``share`` of the worst."""

    label: str
    doubt: str
    more: str
    less: str
    share: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensitivity:
    """The output looked at, and what moves it, the strongest first."""

    label: str
    unit: str
    effects: tuple[Effect, ...]


def results(answer: Answer) -> tuple[Result, ...]:
    """Return the outputs in their order; one without a value says none."""
    return tuple(_result(answer, output) for output in answer.calculation.outputs)


def sensitivity(answer: Answer) -> Sensitivity | None:
    """Return what moves the first output that anything moves; None where nothing is doubtful."""
    found = answer.sensitivity
    moved = (out for out in answer.calculation.outputs if any(_spread(i, out.name) for i in found))
    output = next(moved, None)
    if output is None:
        return None
    strongest = sorted(found, key=lambda one: _spread(one, output.name), reverse=True)
    return Sensitivity(
        label=output.label,
        unit=unit_label(output.unit) if output.unit else "",
        effects=tuple(_effects(strongest, output.name)),
    )


def _result(answer: Answer, output: Output) -> Result:
    if output.name not in answer.values:
        return Result(label=output.label, number="none", unit="", doubt="")
    doubt = answer.doubts.get(output.name, 0.0)
    return Result(
        label=output.label,
        number=rounded(answer.values[output.name], output.figures).replace("-", "−"),
        unit=unit_label(output.unit) if output.unit else "",
        doubt=rounded(doubt, _FIGURES) if doubt else "",
    )


def _effects(found: list[Influence], main: str) -> Iterator[Effect]:
    most = _spread(found[0], main)
    for one in found:
        yield Effect(
            label=one.ask.label,
            doubt=shown_doubt(one),
            more=_change(one.up, main),
            less=_change(one.down, main),
            share=round(100 * _spread(one, main) / most),
        )


def _spread(one: Influence, main: str) -> float:
    changes = [side[main] for side in (one.up, one.down) if side and main in side]
    return max(map(abs, changes), default=0.0)


def _change(side: object, main: str) -> str:
    if not isinstance(side, dict) or main not in side:
        return _CANNOT_SAY
    change = float(side[main])
    return f"{'+' if change > 0 else '−'}{rounded(abs(change), _FIGURES)}" if change else _NO_CHANGE
