"""A calculation answered: what was given, what came out, how, and how sure."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from chemistry.calculator.given import read, typed
from chemistry.calculator.sensitivity import Influence, combined, influences
from chemistry.calculator.solving import solved
from chemistry.calculator.terms import Ask, Calculation, Choice, Output, Value, unit_words
from chemistry.calculator.wording import rounded

_FIGURES_OF_A_DOUBT: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """One ask as typed and as used, in the ask's canonical unit."""

    ask: Ask
    typed: str
    value: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """Values by output name, unrounded, in the outputs' units; an output may have no value.

    ``doubts`` is the standard uncertainty of each output from all doubtful inputs.
    """

    calculation: Calculation
    given: tuple[Given, ...]
    values: Mapping[str, float]
    working: tuple[str, ...]
    notes: tuple[str, ...]
    method: str
    sensitivity: tuple[Influence, ...]
    doubts: Mapping[str, float]

    def shown(self, output: Output) -> str:
        """Return the rounded value with its unit, "none" where there is none."""
        if output.name not in self.values:
            return "none"
        number = rounded(self.values[output.name], output.figures)
        return f"{number} {unit_words(output.unit)}".rstrip()

    def as_json(self) -> dict[str, Any]:
        """Return plain numbers, texts, lists and mappings; values in full, ``shown`` rounded."""
        asked = self.calculation
        return {
            "name": asked.name,
            "question": asked.question,
            "given": {one.ask.name: _given(one) for one in self.given},
            "values": dict(self.values),
            "units": {output.name: output.unit for output in asked.outputs},
            "shown": {output.name: self.shown(output) for output in asked.outputs},
            "doubts": dict(self.doubts),
            "method": self.method,
            "working": list(self.working),
            "notes": list(self.notes),
            "sensitivity": [_influence(one) for one in self.sensitivity],
            "formula": asked.formula,
            "sources": [{"text": one.text, "mark": one.mark} for one in asked.sources],
            "cautions": list(asked.cautions),
        }


def answer(calculation: Calculation, told: Mapping[str, str]) -> Answer:
    """Answer what was typed, each ask by its name.

    Raises:
        BadInput: sentences by ask, all of them at once.
    """
    values = read(calculation, told)
    worked = solved(calculation, values)
    results = {name: float(value) for name, value in worked.values.items()}
    found = influences(calculation, values, results)
    return Answer(
        calculation=calculation,
        given=tuple(
            Given(ask=ask, typed=typed(ask, told), value=values[ask.name])
            for ask in calculation.asks
            if ask.name in values
        ),
        values=results,
        working=worked.working,
        notes=worked.notes,
        method=worked.method,
        sensitivity=found,
        doubts=combined(calculation, found),
    )


def shown_doubt(influence: Influence) -> str:
    """Return the doubt of an input with its unit, such as "0.5 °C"."""
    number = rounded(influence.doubt, _FIGURES_OF_A_DOUBT)
    return f"{number} {unit_words(influence.ask.unit)}".rstrip()


def _given(one: Given) -> dict[str, Any]:
    unit = "" if isinstance(one.ask, Choice) else one.ask.unit
    value = list(one.value) if isinstance(one.value, tuple) else one.value
    return {"label": one.ask.label, "typed": one.typed, "value": value, "unit": unit}


def _influence(one: Influence) -> dict[str, Any]:
    return {
        "input": one.ask.name,
        "doubt": one.doubt,
        "unit": one.ask.unit,
        "source": one.ask.doubt.source if one.ask.doubt else "",
        "up": None if one.up is None else dict(one.up),
        "down": None if one.down is None else dict(one.down),
    }
