"""What a person typed as a value: a number, ``<0.25``, ``>5`` or ``10-20``. Pure."""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

LONGEST: Final = 40
_DECIMALS: Final = 4
_LARGEST: Final = Decimal(100_000_000)
_NUMBER: Final = r"[-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+)"
_SINGLE: Final = re.compile(rf"([<>]?)({_NUMBER})")
_BRACKET: Final = re.compile(rf"({_NUMBER})-({_NUMBER})")
# 1,000 is a thousand to one person and one to another; 0,250 is a quarter to everybody.
_TWO_READINGS: Final = re.compile(r"[-+]?[1-9]\d{0,2},\d{3}")
_QUALIFIERS: Final = {"": "EQUAL", "<": "BELOW", ">": "ABOVE"}


class Unreadable(ValueError):  # noqa: N818  the house names refusals by what is so
    """The text is not a value; the sentence says how to write one."""


@dataclass(frozen=True, slots=True)
class Entered:
    """``value`` is the value, the limit it was below or above, or the lower edge of a bracket.

    ``qualifier`` is EQUAL, BELOW, ABOVE or BETWEEN; only a bracket has ``upper``.
    """

    qualifier: str
    value: Decimal
    upper: Decimal | None = None


def parse_entry(text: str) -> Entered:
    """Read one entry.

    Raises:
        Unreadable: it is no number, limit or bracket, or can be read two ways.
    """
    bare = _bare(text)
    if found := _SINGLE.fullmatch(bare):
        return Entered(_QUALIFIERS[found[1]], _number(found[2]))
    if found := _BRACKET.fullmatch(bare):
        return _bracket(_number(found[1]), _number(found[2]))
    raise Unreadable(
        f"“{text.strip()[:LONGEST]}” is not a value; write one such as 0.5, <0.25, >5 or 10-20."
    )


def _bare(text: str) -> str:
    """Only the spaces around signs go: ``7 8`` is not 78. ``between 10 and 20`` is a bracket."""
    spelled = re.sub(r"\s*(?:\bto\b|\band\b|\.\.)\s*", "-", text.strip().removeprefix("between"))
    return re.sub(r"\s*([<>-])\s*", r"\1", re.sub("[−–—‐‑]", "-", spelled)).strip()


def _bracket(low: Decimal, high: Decimal) -> Entered:
    if low == high:
        raise Unreadable(f"A bracket needs two values; write {low} alone if it read {low}.")
    if low > high:
        raise Unreadable(f"Write the lower value first: {high}-{low}.")
    return Entered("BETWEEN", low, high)


def _number(digits: str) -> Decimal:
    if _TWO_READINGS.fullmatch(digits):
        raise Unreadable(
            f"Write {digits.replace(',', '')} or {digits.replace(',', '.')}: "
            "a comma before three figures can be read two ways."
        )
    number = Decimal(digits.replace(",", "."))
    if abs(number) >= _LARGEST or number != round(number, _DECIMALS):
        raise Unreadable(f"{digits} has more figures than can be kept; write at most 4 decimals.")
    return number
