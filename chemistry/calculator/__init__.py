"""The calculators: one catalogue of questions, read by pages, the API and the command line.

``answer(calculation(name), told)`` is all a caller needs; ``told`` is what was typed, by ask.
"""

from chemistry.calculator.answer import Answer, answer
from chemistry.calculator.catalogue import CALCULATIONS, UnknownCalculation, calculation
from chemistry.calculator.given import BadInput, read
from chemistry.calculator.terms import Calculation

__all__ = [
    "CALCULATIONS",
    "Answer",
    "BadInput",
    "Calculation",
    "UnknownCalculation",
    "answer",
    "calculation",
    "read",
]
