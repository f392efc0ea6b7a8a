"""A calculation's asks, put for a sheet: numbers beside their units, units as people read them."""

import re
from typing import Final

from chemistry.calculator.terms import Input, Series, offered, unit_words
from facility.rules.wording import unit_and_basis

_NUMBER: Final = r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d{1,2})?"
_BARE: Final = re.compile(_NUMBER)
# Several numbers count as bare when the last word is one.
_BARE_SERIES: Final = re.compile(rf"(.*[\s;])?{_NUMBER}", re.DOTALL)
# A share without a sign, beside one in per cent.
_OF_ONE: Final = ("", "1")


def unit_label(unit: str) -> str:
    """Return ``mg/L as NH₃`` for ``mg/L as NH3``; a pure number is a share of 1."""
    if unit in _OF_ONE:
        return "of 1"
    plain, _, basis = unit.partition(" as ")
    return unit_and_basis(unit_words(unit_and_basis(plain)), basis)


def must_choose_unit(ask: Input | Series) -> bool:
    """Tell whether taking a unit unasked would be a guess."""
    return ask.needs_unit and len(offered(ask)) > 1


def parted(text: str, ask: Input | Series) -> tuple[str, str]:
    """Return what was typed without its unit, and that unit, if it is one of those offered."""
    # The last figure of 0.51 is not its unit.
    named = [unit for unit in offered(ask) if unit not in _OF_ONE]
    for unit in sorted(named, key=len, reverse=True):
        number = text.removesuffix(unit).rstrip()
        if number != text and _is_bare(number, ask):
            return number, unit
    return text, ""


def joined(text: str, unit: str, ask: Input | Series) -> str:
    """Return number and chosen unit as the calculator reads them; a unit that was typed counts.

    The canonical unit is left out where it may be: the calculator then still asks about a
    number that looks like another quantity.
    """
    is_understood = offered(ask)[:1] == (unit,) and not ask.needs_unit
    return text if not unit or is_understood or not _is_bare(text, ask) else f"{text} {unit}"


def as_typed(text: str, unit: str) -> str:
    """Return a number with its unit behind it, as somebody would type it."""
    return f"{text} {unit}".rstrip()


def _is_bare(text: str, ask: Input | Series) -> bool:
    return (_BARE_SERIES if isinstance(ask, Series) else _BARE).fullmatch(text) is not None
