"""The sheet of a calculation, made from its catalogue entry; and the search for one."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, Final

from django.core.exceptions import ValidationError
from django.forms import (
    BoundField,
    CharField,
    ChoiceField,
    Field,
    RadioSelect,
    Select,
    Textarea,
    TextInput,
)

from chemistry.calculator import Answer, BadInput, Calculation, answer
from chemistry.calculator.terms import Ask, Choice, Input, Series, offered
from facility.forms.numbers import BigNumber, with_point
from facility.forms.sheets import Segmented, Sheet
from facility.models import Site
from facility.rules.wording import written
from tanks.queries.filling import Filled
from tanks.queries.waters import Water
from tanks.rules.calculations import joined, must_choose_unit, parted, unit_label

_NUMBER_FIRST: Final = re.compile(r"([-+−]?[\d.,]+)(.*)", re.DOTALL)
_LONGEST: Final = 10_000
_FEW: Final = 3


class AskedFor(CharField):
    """A number, with or without a unit behind it; a decimal comma becomes a point."""

    def to_python(self, value: Any) -> str:
        text = super().to_python(value) or ""
        found = _NUMBER_FIRST.fullmatch(text)
        return with_point(found[1]) + found[2] if found else text


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One ask as drawn: its field, its unit to choose, and what the chosen water says of it."""

    field: BoundField
    unit: BoundField | None
    only_unit: str
    may_be_empty: bool
    filled: Filled | None
    is_overtyped: bool


class CalculationSheet(Sheet):
    """``answer`` is there once the sheet is valid; ``fillings`` is what a chosen water says."""

    problem_title: ClassVar[str] = "Not calculated yet"

    def __init__(
        self,
        *args: Any,
        calculation: Calculation,
        fillings: Mapping[str, Filled],
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.calculation, self.fillings = calculation, fillings
        self.answer: Answer | None = None
        for ask in calculation.asks:
            self.fields[ask.name] = _field(ask)
            if not isinstance(ask, Choice) and len(offered(ask)) > 1:
                self.fields[unit_name(ask)] = _unit_field(ask)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        try:
            self.answer = answer(self.calculation, self.told())
        except BadInput as bad:
            for name, sentence in bad.faults.items():
                self._add_fault(name, sentence)
        return given

    def told(self) -> dict[str, str]:
        """What has been typed and could be read, each with the unit chosen."""
        given = self.cleaned_data
        asks = (ask for ask in self.calculation.asks if given.get(ask.name))
        return {
            ask.name: given[ask.name]
            if isinstance(ask, Choice)
            else joined(given[ask.name], given.get(unit_name(ask)) or _only(ask), ask)
            for ask in asks
        }

    def problems(self) -> Iterator[tuple[str, str]]:
        """Yield what is wrong, each sentence naming its field, with the id of that field."""
        for sentence in self.non_field_errors():
            yield "", str(sentence)
        for field in self:
            for sentence in field.errors:
                named = str(sentence).startswith(str(field.label))
                shown = str(sentence) if named else f"{field.label}: {sentence}"
                yield field.id_for_label or field.auto_id, shown

    def can_be_filled(self) -> bool:
        """Tell whether a water could answer any of it."""
        return any(isinstance(ask, Input) and ask.fills_from for ask in self.calculation.asks)

    def rows(self) -> Iterator[Row]:
        return (self._row(ask) for ask in self.calculation.asks)

    def _row(self, ask: Ask) -> Row:
        unit = self[unit_name(ask)] if unit_name(ask) in self.fields else None
        filled = self.fillings.get(ask.name)
        shown = (str(self[ask.name].value() or ""), str(unit.value() or "") if unit else "")
        return Row(
            field=self[ask.name],
            unit=unit,
            only_unit="" if isinstance(ask, Choice) or not _only(ask) else unit_label(_only(ask)),
            may_be_empty=_may_be_empty(ask),
            filled=filled,
            is_overtyped=bool(shown[0] and filled and filled.text and not _is_same(filled, *shown)),
        )

    def _add_fault(self, name: str, sentence: str) -> None:
        """A field that could not even be read has its own sentence already."""
        if name not in self.fields:
            self.add_error(None, ValidationError(sentence))
        elif name not in self.errors:
            self.add_error(name, ValidationError(sentence))


def unit_name(ask: Ask) -> str:
    return f"{ask.name}_in"


def sheet_of(
    calculation: Calculation,
    sent: Mapping[str, str],
    fillings: Mapping[str, Filled],
    *,
    fill: bool = False,
) -> CalculationSheet:
    """Open the sheet with what was sent, and with what the water says if that is wanted.

    What was sent is calculated. What is only filled in is calculated once nothing is missing.
    """
    typed = dict(_typed(calculation, sent))
    takes = fill or not typed
    data = _defaults(calculation) | typed | (_taken(fillings) if takes else {})
    missing = [ask for ask in calculation.asks if not (data.get(ask.name) or _may_be_empty(ask))]
    start: dict[str, Any] = {"initial": data} if takes and missing else {"data": data}
    return CalculationSheet(calculation=calculation, fillings=fillings, **start)


def _typed(calculation: Calculation, sent: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Yield what was sent by field; a unit written behind its number counts as chosen."""
    for ask in calculation.asks:
        if ask.name not in sent:
            continue
        text, unit = sent[ask.name].strip(), sent.get(unit_name(ask), "")
        if not isinstance(ask, Choice):
            text, written_unit = parted(text, ask)
            unit = written_unit or unit
        yield ask.name, text
        if unit:
            yield unit_name(ask), unit


def _taken(fillings: Mapping[str, Filled]) -> dict[str, str]:
    given = {name: filled for name, filled in fillings.items() if filled.text}
    return {name: filled.text for name, filled in given.items()} | {
        f"{name}_in": filled.unit for name, filled in given.items()
    }


def _defaults(calculation: Calculation) -> dict[str, str]:
    typed: dict[str, str] = {}
    for ask in calculation.asks:
        if isinstance(ask, Choice):
            typed[ask.name] = ask.default
            continue
        text, unit = parted(ask.default, ask)
        usual = "" if must_choose_unit(ask) else next(iter(offered(ask)), "")
        typed |= {ask.name: text, unit_name(ask): unit or usual}
    return typed


def _field(ask: Ask) -> Field:
    common: dict[str, Any] = {"label": ask.label, "help_text": ask.hint, "required": False}
    match ask:
        case Choice():
            blank = [] if ask.default or len(ask.options) <= _FEW else [("", "choose")]
            choices = [*blank, *((option.value, option.label) for option in ask.options)]
            return ChoiceField(choices=choices, widget=_choosing(ask), **common)
        case Series():
            return CharField(
                widget=Textarea({"autocomplete": "off"}), max_length=_LONGEST, **common
            )
        case Input():
            return AskedFor(widget=BigNumber(), max_length=_LONGEST, **common)


def _choosing(ask: Choice) -> RadioSelect | Select:
    """Few answers stand in the open; many fold away."""
    return Segmented({"class": "segmented rows"}) if len(ask.options) <= _FEW else Select()


def _unit_field(ask: Input | Series) -> ChoiceField:
    blank = [("", "unit?")] if must_choose_unit(ask) else []
    units = [(unit, unit_label(unit)) for unit in offered(ask)]
    return ChoiceField(label=f"Unit of {ask.label}", choices=[*blank, *units], required=False)


def _only(ask: Input | Series) -> str:
    units = offered(ask)
    return units[0] if len(units) == 1 else ""


def _may_be_empty(ask: Ask) -> bool:
    return not isinstance(ask, Choice) and (ask.optional or bool(ask.default))


def _is_same(filled: Filled, text: str, unit: str) -> bool:
    return filled.text == text and (not unit or filled.unit == unit)


class WaterSheet(Sheet):
    """From which water the sheet is to be filled in."""

    vessel = ChoiceField(label="Fill in from a water", required=False)

    def __init__(
        self, *args: Any, waters: Iterable[tuple[Site, list[Water]]], **options: Any
    ) -> None:
        super().__init__(*args, **options)
        groups = [(site.name, [_offer(water) for water in found]) for site, found in waters]
        named = groups if len(groups) > 1 else [offer for _, offers in groups for offer in offers]
        self.fields["vessel"].choices = [("", "none: type everything"), *named]  # type: ignore[attr-defined]  # a choice field has them
        self.has_waters = any(offers for _, offers in groups)


def _offer(water: Water) -> tuple[str, str]:
    anchor = water.anchor
    others = len(water.members) - 1
    shared = f", with {others} more" if others else ""
    litres = "volume unknown" if water.litres is None else f"{written(water.litres)} L"
    return str(anchor.pk), f"{anchor.code} {anchor.name}".strip() + f"{shared}, {litres}"


class SearchSheet(Sheet):
    """Which calculation is looked for, in the reader's own words."""

    q = CharField(
        label="Look for",
        max_length=80,
        required=False,
        widget=TextInput({"type": "search", "autocomplete": "off", "enterkeyhint": "search"}),
    )
