"""From what was typed to canonical values, with every fault told at once."""

import difflib
from collections.abc import Iterable, Mapping
from typing import Final

from chemistry.calculator.numbers import read_number, read_series
from chemistry.calculator.terms import Ask, Calculation, Choice, Input, Series, Value
from chemistry.calculator.wording import NotUsable, listed, quoted

_LONGEST: Final = 10_000


class BadInput(ValueError):  # noqa: N818 - the house names refusals by what is so
    """Sentences by ask; the key "" holds what concerns no single ask."""

    def __init__(self, faults: Mapping[str, str]) -> None:
        self.faults = dict(faults)
        super().__init__("\n".join(self.faults.values()))


def read(calculation: Calculation, told: Mapping[str, str]) -> dict[str, Value]:
    """Return what ``solve`` takes; an ask left blank takes its default, or is left out.

    Raises:
        BadInput: all faults at once, each naming its ask and the mend.
    """
    faults = {name: _unknown(name, calculation) for name in told if name not in _names(calculation)}
    values: dict[str, Value] = {}
    for ask in calculation.asks:
        try:
            value = _value(ask, typed(ask, told))
        except NotUsable as fault:
            faults[ask.name] = str(fault)
        else:
            values |= {} if value is None else {ask.name: value}
    if faults:
        raise BadInput(faults)
    return values


def typed(ask: Ask, told: Mapping[str, str]) -> str:
    """Return what counts for this ask: what was typed, or else the default."""
    return told.get(ask.name, "").strip() or ask.default


def near(word: str, known: Iterable[str]) -> str:
    """Return " Did you mean …?" with the nearest names, or nothing."""
    names = difflib.get_close_matches(word.casefold(), list(known), n=3, cutoff=0.6)
    return f" Did you mean {listed(names)}?" if names else ""


def _names(calculation: Calculation) -> tuple[str, ...]:
    return tuple(ask.name for ask in calculation.asks)


def _unknown(name: str, calculation: Calculation) -> str:
    names = _names(calculation)
    return f"{quoted(name)} is not asked here.{near(name, names)} Asked are {listed(names)}."


def _value(ask: Ask, text: str) -> Value | None:
    if len(text) > _LONGEST:
        raise NotUsable(f"{ask.label}: that is too long; write it like “{ask.example}”.")
    if not text:
        _refuse_unless_optional(ask)
        return None
    match ask:
        case Choice():
            return _chosen(ask, text)
        case Series():
            return read_series(ask, text)
        case Input():
            return read_number(ask, text)


def _refuse_unless_optional(ask: Ask) -> None:
    if isinstance(ask, Choice):
        raise NotUsable(f"{ask.label} is missing: choose {_options(ask)}.")
    if not ask.optional:
        raise NotUsable(f"{ask.label} is missing: write it like “{ask.example}”.")


def _chosen(ask: Choice, text: str) -> str:
    for option in ask.options:
        if text.casefold() in {option.value.casefold(), option.label.casefold()}:
            return option.value
    raise NotUsable(f"{ask.label}: {quoted(text)} is not on the list; choose {_options(ask)}.")


def _options(ask: Choice) -> str:
    return listed(option.value for option in ask.options)
