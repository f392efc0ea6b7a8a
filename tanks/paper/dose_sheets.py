"""A calculated dose on one sheet of paper: measured out by it, checked on it, kept nowhere."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import Final

from chemistry.calculator import Answer
from chemistry.calculator.answer import Given
from chemistry.calculator.terms import Choice
from chemistry.calculator.wording import rounded
from facility.rules.wording import written
from facility.sockets.paper import (
    Block,
    Caution,
    Facts,
    Paragraph,
    Report,
    Section,
    Signature,
    Table,
)
from tanks.paper.phrases import stamp
from tanks.queries.filling import Filled
from tanks.queries.waters import Water
from tanks.rules.calculations import unit_label
from tanks.rules.dosed import CalculatedDose

_FIGURES: Final = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Who worked it out and when, for which water, and what that water says of itself."""

    by: str
    at: datetime
    zone: tzinfo
    water: Water | None
    fillings: Mapping[str, Filled]


def dose_sheet_of(answer: Answer, dose: CalculatedDose, asked: Asked) -> Report:
    """Compose the sheet."""
    return Report(
        title="Dose sheet",
        subject=f"{dose.substance.capitalize()}, {_place(asked.water)}",
        digest="",
        issued=f"Worked out {stamp(asked.at, asked.zone)} by {asked.by}. Kept nowhere: "
        "log the dose once it is in.",
        sections=(
            Section("Measure out", tuple(_measure_out(answer, dose, asked))),
            Section("From what", (_given_table(answer, asked),)),
            Section("Working", tuple(_working(answer))),
            Section("Formula and source", tuple(_grounds(answer))),
        ),
    )


def _place(water: Water | None) -> str:
    if water is None:
        return "no water chosen"
    codes = ", ".join(vessel.code for vessel in water.members)
    return f"{water.name} ({codes}) at {water.anchor.site.name}"


def _measure_out(answer: Answer, dose: CalculatedDose, asked: Asked) -> Iterator[Block]:
    yield Facts(
        (
            ("What", dose.substance),
            ("How much", _amount(dose)),
            ("Into which water", _place(asked.water)),
            ("Question", answer.calculation.question),
        )
    )
    for sentence in answer.calculation.cautions:
        yield Caution(sentence)
    for note in filter(None, answer.notes):
        yield Paragraph(note)
    yield Signature("Measured out")
    yield Signature("Checked, by a second person")


def _amount(dose: CalculatedDose) -> str:
    exact = f"{_plain(dose.exact)} {unit_label(dose.unit)}"
    if dose.rounded is None:
        return exact
    return f"{written(dose.rounded)} {dose.unit} (computed {exact})"


def _given_table(answer: Answer, asked: Asked) -> Table:
    rows = tuple(
        (one.ask.label, one.typed, _used(one), origin(one, asked.fillings)) for one in answer.given
    )
    columns = ("Asked", "As typed", "Used as", "Where from")
    return Table(columns, rows, widths=(0.22, 0.2, 0.18, 0.4))


def _used(one: Given) -> str:
    match one.value:
        case str():
            return one.value
        case tuple():
            return f"{len(one.value)} numbers"
    unit = "" if isinstance(one.ask, Choice) else unit_label(one.ask.unit) if one.ask.unit else ""
    return f"{_plain(one.value)} {unit}".rstrip()


def _plain(value: float) -> str:
    text = rounded(value, _FIGURES)
    return text.rstrip("0").rstrip(".") if "." in text and "e" not in text else text


def origin(one: Given, found: Mapping[str, Filled]) -> str:
    """Where a value came from: the water's own word for it, or somebody's hand."""
    filled = found.get(one.ask.name)
    if filled is None or not filled.text:
        return " ".join(["Typed.", *([filled.says] if filled else [])])
    if one.typed not in (filled.text, f"{filled.text} {filled.unit}"):
        return f"Typed over. {filled.says}"
    return " ".join([filled.says, *filled.warnings])


def _working(answer: Answer) -> Iterator[Block]:
    yield Paragraph("\n".join(answer.working))
    outputs = answer.calculation.outputs
    yield Facts(tuple((output.label, answer.shown(output)) for output in outputs))


def _grounds(answer: Answer) -> Iterator[Block]:
    entry = answer.calculation
    yield Paragraph(entry.formula)
    if answer.method:
        yield Facts((("Method", answer.method),))
    for source in entry.sources:
        yield Paragraph(f"{source.text} ({source.mark})")
