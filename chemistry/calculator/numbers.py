"""Typed numbers and lists of numbers, turned into an ask's canonical unit and judged."""

import re
from typing import Final

from chemistry.calculator.terms import Input, Series, offered, unit_words
from chemistry.calculator.wording import NotUsable, listed, quoted
from chemistry.units import WrongKind, WrongUnit, magnitude, split_quantity

# A unit conversion may miss the end of a range by the last bits.
_SLACK: Final = 1e-9
_SPLIT: Final = re.compile(r"[\s;]+|,\s+")
_NUMBER: Final = re.compile(r"[-+−]?(\d+\.?\d*|\.\d+)([eE][-+]?\d{1,2})?")
_NO_UNIT: Final = "1"


def read_number(ask: Input, text: str) -> float:
    """Return one quantity in the ask's unit.

    Raises:
        NotUsable: no number, a wrong or missing unit, not whole, or outside the range.
    """
    number, unit = _split(ask, text)
    if ask.trap and not unit and ask.trap.low <= number <= ask.trap.high:
        raise NotUsable(f"{ask.label}: {quoted(text)} {ask.trap.sentence}.")
    value = _canonical(ask, number, unit)
    if ask.whole and value != round(value):
        raise NotUsable(f"{ask.label}: {quoted(text)} is not a whole number; write 1, 2, 3 …")
    return value


def read_series(ask: Series, text: str) -> tuple[float, ...]:
    """Return the numbers in order, all in the ask's unit; one unit may follow the last.

    Raises:
        NotUsable: too few, too many, or any of them unusable; the sentence says which.
    """
    words = [word for word in _SPLIT.split(text.strip()) if word]
    count = next((at for at, word in enumerate(words) if not _NUMBER.fullmatch(word)), len(words))
    unit = " ".join(words[count:])
    if any(word[0].isdigit() for word in words[count:]):
        raise NotUsable(_unreadable(ask, unit))
    values = tuple(_canonical(ask, _plain(word), unit) for word in words[:count])
    if not ask.fewest <= len(values) <= ask.most:
        raise NotUsable(
            f"{ask.label}: {ask.fewest} to {ask.most} numbers are asked and {len(values)} given; "
            f"write them like “{ask.example}”."
        )
    return values


def _plain(word: str) -> float:
    return float(word.replace("−", "-"))


def _split(ask: Input, text: str) -> tuple[float, str]:
    try:
        return split_quantity(text, example=ask.example)
    except WrongUnit:
        raise NotUsable(_unreadable(ask, text)) from None


def _unreadable(ask: Input | Series, text: str) -> str:
    return (
        f"{ask.label}: {quoted(text)} cannot be read as a number with a decimal point; "
        f"write it like “{ask.example}”."
    )


def _canonical(ask: Input | Series, number: float, unit: str) -> float:
    if not unit and ask.needs_unit:
        raise NotUsable(_needs_unit(ask, number))
    if not unit:
        return _accepted(ask, number)
    try:
        return _accepted(ask, magnitude(number, unit, to=ask.unit or _NO_UNIT))
    except WrongKind as fault:
        raise NotUsable(_wrong_kind(ask, number, unit, fault)) from fault
    except WrongUnit as fault:
        raise NotUsable(_mended(ask, number, str(fault))) from fault


def _needs_unit(ask: Input | Series, number: float) -> str:
    what = "basis" if " as " in ask.unit else "unit"
    first, *others = offered(ask)
    return f"{ask.label} needs its {what}: write {listed([f'{number:g} {first}', *others])}."


def _wrong_kind(ask: Input | Series, number: float, unit: str, fault: WrongKind) -> str:
    if " as " in ask.unit and fault.given_kind == "a concentration without a basis":
        return _needs_unit(ask, number)
    written = quoted(f"{number:g} {unit}")
    kind = fault.given_kind or "something else"
    if not ask.unit:
        return f"{ask.label} has no unit and {written} is {kind}; write it like “{ask.example}”."
    asked = fault.asked_kind or f"a quantity in {unit_words(ask.unit)}"
    return f"{ask.label}: {asked} is asked and {written} is {kind}; write it like “{ask.example}”."


def _mended(ask: Input | Series, number: float, sentence: str) -> str:
    if "ambiguous" in sentence:
        return _needs_unit(ask, number) if " as " in ask.unit else f"{ask.label}: {sentence}"
    units = listed(unit_words(unit) or "no unit" for unit in offered(ask) or ("",))
    return f"{ask.label}: {sentence.removesuffix('.')}; write {units}."


def _accepted(ask: Input | Series, value: float) -> float:
    low, high = ask.accepted.low, ask.accepted.high
    nearest = min(max(value, low), high)
    if abs(value - nearest) <= _SLACK * max(1.0, abs(nearest)):
        return nearest
    unit = f" {unit_words(ask.unit)}" if ask.unit else ""
    why = f" ({ask.accepted.source})" if ask.accepted.source else ""
    raise NotUsable(
        f"{ask.label} of {value:g}{unit} is outside {low:g} to {high:g}{unit}{why}; "
        "check the number and its unit."
    )
