"""One reading as it was written, and what it says in canonical units.

A kit does not always give a number: ``"<0.25"`` is below detection, ``">5"`` over range and
``"10-20"`` between two colours. The last is our addition to cycle-case/1.
"""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from chemistry.nitrogen import Basis, to_nitrogen

MEQ_L_PER_DKH: Final = 1.0 / 2.804
MEQ_L_PER_MG_L_CACO3: Final = 1.0 / 50.04

_NUMBER: Final = r"(\d{1,9}(?:\.\d+)?)"
_BELOW: Final = re.compile(rf"^<\s*{_NUMBER}$")
_ABOVE: Final = re.compile(rf"^>\s*{_NUMBER}$")
_BETWEEN: Final = re.compile(rf"^{_NUMBER}\s*[-\u2013]\s*{_NUMBER}$")
_PLAIN: Final = re.compile(rf"^-?{_NUMBER}$")

BASES: Final = {
    "tan": ("N", "NH3", "NH4"),
    "nitrite": ("N", "NO2"),
    "nitrate": ("N", "NO3"),
}
_TO_CANONICAL: Final[dict[tuple[str, str], Callable[[float], float]]] = {
    ("tan", "mg/L"): float,
    ("nitrite", "mg/L"): float,
    ("nitrate", "mg/L"): float,
    ("ph", "pH"): float,
    ("alkalinity", "meq/L"): float,
    ("alkalinity", "dKH"): lambda value: value * MEQ_L_PER_DKH,
    ("alkalinity", "mg/L"): lambda value: value * MEQ_L_PER_MG_L_CACO3,
    ("alkalinity", "mg/L CaCO3"): lambda value: value * MEQ_L_PER_MG_L_CACO3,
    ("temperature", "degC"): float,
    ("temperature", "degF"): lambda value: (value - 32.0) / 1.8,
    ("salinity", "ppt"): float,
    ("salinity", "g/kg"): float,
}
PARAMETERS: Final = tuple(dict.fromkeys(parameter for parameter, _ in _TO_CANONICAL))


@dataclass(frozen=True, slots=True)
class Span:
    """What a value says: it lies from ``low`` to ``high``; equal ends are a plain number."""

    low: float
    high: float

    @property
    def is_exact(self) -> bool:
        return self.low == self.high


def units_of(parameter: str) -> tuple[str, ...]:
    """Return the units a parameter may be given in."""
    return tuple(unit for name, unit in _TO_CANONICAL if name == parameter)


def span(value: float | str) -> Span:
    """Read a value as written.

    Raises:
        ValueError: neither a number, ``<limit``, ``>limit`` nor two rising numbers.
    """
    if isinstance(value, str):
        return _span_of_text(value.strip())
    return Span(float(value), float(value))


def canonical(value: float | str, *, parameter: str, unit: str, basis: str | None) -> Span:
    """Return the span in mg/L as N, pH, meq/L, °C or g/kg; accepts only known units."""
    written = span(value)
    turn = _TO_CANONICAL[parameter, unit]
    return Span(*(_nitrogen(turn(end), parameter, basis) for end in (written.low, written.high)))


def _span_of_text(text: str) -> Span:
    if (found := _BELOW.match(text)) and float(found[1]) > 0.0:
        return Span(-math.inf, float(found[1]))
    if found := _ABOVE.match(text):
        return Span(float(found[1]), math.inf)
    if (found := _BETWEEN.match(text)) and float(found[1]) < float(found[2]):
        return Span(float(found[1]), float(found[2]))
    if _PLAIN.match(text):
        return Span(float(text), float(text))
    raise ValueError(text)


def _nitrogen(amount: float, parameter: str, basis: str | None) -> float:
    if parameter not in BASES or basis is None:
        return amount
    return to_nitrogen(amount, basis=Basis(basis))
