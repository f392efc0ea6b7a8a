"""A calculation described in plain values, for the API and for ``calculate --list --json``."""

from typing import Any

from chemistry.calculator.terms import Ask, Calculation, Choice, Input, Series, offered


def described(calculation: Calculation) -> dict[str, Any]:
    """Return everything but the formula's code, ready for JSON."""
    return {
        "name": calculation.name,
        "question": calculation.question,
        "subject": calculation.subject.value,
        "asks": [_ask(ask) for ask in calculation.asks],
        "outputs": [
            {"name": output.name, "label": output.label, "unit": output.unit}
            for output in calculation.outputs
        ],
        "formula": calculation.formula,
        "sources": [{"text": one.text, "mark": one.mark} for one in calculation.sources],
        "cautions": list(calculation.cautions),
    }


def _ask(ask: Ask) -> dict[str, Any]:
    shared = {
        "name": ask.name,
        "label": ask.label,
        "example": ask.example,
        "default": ask.default,
        "hint": ask.hint,
    }
    match ask:
        case Choice():
            return shared | {"kind": "choice", "options": _options(ask)}
        case Series():
            return shared | _quantity(ask) | {"kind": "series", "fewest": ask.fewest}
        case Input():
            return shared | _quantity(ask) | {"kind": "number", "whole": ask.whole}


def _options(ask: Choice) -> list[dict[str, str]]:
    return [{"value": option.value, "label": option.label} for option in ask.options]


def _quantity(ask: Input | Series) -> dict[str, Any]:
    return {
        "unit": ask.unit,
        "units": list(offered(ask)),
        "low": ask.accepted.low,
        "high": ask.accepted.high,
        "needs_unit": ask.needs_unit,
        "optional": ask.optional,
    }
