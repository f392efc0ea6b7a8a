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
    """How far one input, off by its usual doubt, moves the first output; ``share`` of the worst."""

    label: str
    doubt: str
    more: str
    less: str
    share: int


def results(answer: Answer) -> tuple[Result, ...]:
    """Return the outputs in their order; one without a value says none."""
    return tuple(_result(answer, output) for output in answer.calculation.outputs)


def effects(answer: Answer) -> tuple[Effect, ...]:
    """Return one row for each doubtful input, in the order of the answer: the strongest first."""
    main = answer.calculation.outputs[0].name
    if main not in answer.values:
        return ()
    return tuple(_effects(answer.sensitivity, main))


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


def _effects(found: tuple[Influence, ...], main: str) -> Iterator[Effect]:
    most = max((_spread(one, main) for one in found), default=0.0)
    for one in found:
        yield Effect(
            label=one.ask.label,
            doubt=shown_doubt(one),
            more=_change(one.up, main),
            less=_change(one.down, main),
            share=round(100 * _spread(one, main) / most) if most else 0,
        )


def _spread(one: Influence, main: str) -> float:
    changes = [side[main] for side in (one.up, one.down) if side and main in side]
    return max(map(abs, changes), default=0.0)


def _change(side: object, main: str) -> str:
    if not isinstance(side, dict) or main not in side:
        return _CANNOT_SAY
    change = float(side[main])
    return f"{'+' if change > 0 else '−'}{rounded(abs(change), _FIGURES)}" if change else _NO_CHANGE
