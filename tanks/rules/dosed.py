"""A calculated amount as a dose: of what, for which purpose, towards which target. Pure."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from chemistry.calculator import CALCULATIONS, Answer, Calculation
from chemistry.calculator.terms import Choice
from chemistry.units import WrongUnit, magnitude
from tanks.rules.dosing import AIMS, measurable

_MEASURED_IN: Final = frozenset({"g", "mL"})


@dataclass(frozen=True, slots=True, kw_only=True)
class CalculatedDose:
    """``exact`` as computed; ``rounded`` as it can be measured, where that is known.

    ``purpose`` is empty where the log of doses knows none for the substance; ``target`` is in
    that purpose's own unit, None where the calculation does not say it.
    """

    substance: str
    exact: float
    unit: str
    rounded: Decimal | None
    purpose: str
    target: float | None


def calculated_dose(answer: Answer) -> CalculatedDose | None:
    """Return what the answer asks to be measured out, or None when it is no dose at all."""
    doses = answer.calculation.doses
    if doses is None or answer.values.get(doses.amount, 0.0) <= 0:
        return None
    exact = answer.values[doses.amount]
    unit = next(out.unit for out in answer.calculation.outputs if out.name == doses.amount)
    purpose = _purpose(doses.substance)
    return CalculatedDose(
        substance=doses.substance,
        exact=exact,
        unit=unit,
        rounded=measurable(exact, unit) if unit in _MEASURED_IN else None,
        purpose=purpose,
        target=_target(answer, doses.rise, purpose) if purpose else None,
    )


def calculations_for(purpose: str) -> tuple[Calculation, ...]:
    """Return the calculations whose amount serves this purpose."""
    return tuple(
        entry
        for entry in CALCULATIONS
        if entry.doses and _code(entry.doses.substance) in AIMS[purpose].substances
    )


def _purpose(substance: str) -> str:
    code = _code(substance)
    return next((name for name, aim in AIMS.items() if code in aim.substances), "")


def _code(substance: str) -> str:
    return substance.upper().replace(" ", "_")


def _target(answer: Answer, rise: str, purpose: str) -> float | None:
    found = _output(answer, rise) or _given(answer, rise)
    if found is None:
        return None
    value, unit = found
    try:
        return magnitude(value, unit, to=AIMS[purpose].unit)
    except WrongUnit:
        return None


def _output(answer: Answer, name: str) -> tuple[float, str] | None:
    units = {output.name: output.unit for output in answer.calculation.outputs}
    return (answer.values[name], units[name]) if name in answer.values else None


def _given(answer: Answer, name: str) -> tuple[float, str] | None:
    for one in answer.given:
        if (
            one.ask.name == name
            and isinstance(one.value, float)
            and not isinstance(one.ask, Choice)
        ):
            return one.value, one.ask.unit
    return None
