"""A manager's own list of species as CSV text. Pure.

Columns in any order, Darwin Core terms where there is one: scientificName is required;
vernacularName, group, waterKind, careClass, permitNeeds, source and the figures of a sheet may
stay empty. Separated by commas or semicolons, UTF-8.
"""

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from io import StringIO
from typing import Final

from quarantine.rules.sheets import FIGURES, unsound

LARGEST_LINES: Final = 2000
_TEXTS: Final = {
    "scientificname": "scientific_name",
    "vernacularname": "vernacular_name",
    "group": "group",
    "waterkind": "water_kind",
    "careclass": "care_class",
    "permitneeds": "permit_needs",
    "source": "source",
    "note": "note",
}
_NUMBERS: Final = {figure.term.casefold(): figure for figure in FIGURES}
_LONGEST: Final = {
    "scientific_name": 120,
    "vernacular_name": 120,
    "permit_needs": 200,
    "source": 200,
    "note": 400,
}
COLUMNS: Final = (
    "scientificName",
    "vernacularName",
    "group",
    "waterKind",
    "careClass",
    *(figure.term for figure in FIGURES),
    "permitNeeds",
    "source",
    "note",
)


class BadList(ValueError):  # noqa: N818  the house names refusals by what is so
    """The file as a whole cannot be read; the sentence says how to mend it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """One line; ``fault`` says why it cannot be taken, and the rest is then what was read."""

    number: int
    scientific_name: str
    vernacular_name: str
    group: str
    water_kind: str
    care_class: str
    permit_needs: str
    source: str
    note: str
    figures: Mapping[str, Decimal | int | None]
    fault: str = ""

    @property
    def has_sheet(self) -> bool:
        """Whether it says more than what the species is called."""
        return bool(self.permit_needs or self.note or self.care_class != "ROUTINE") or any(
            value is not None for value in self.figures.values()
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """The codes that the columns ``group``, ``waterKind`` and ``careClass`` may hold."""

    groups: frozenset[str]
    water_kinds: frozenset[str]
    care_classes: frozenset[str]


def listed(text: str, choices: Choices) -> Iterator[Listed]:
    """Yield the lines below the header, those with a fault too.

    Raises:
        BadList: there is no header with scientificName, or far too many lines.
    """
    plain = text.lstrip("\ufeff")
    rows = csv.reader(StringIO(plain, newline=""), delimiter=_separator(plain))
    header = [cell.strip().casefold() for cell in next(rows, [])]
    if "scientificname" not in header:
        raise BadList("The first line must name the columns; scientificName is missing.")
    for row in rows:
        if rows.line_num > LARGEST_LINES:
            raise BadList(f"More than {LARGEST_LINES} lines; take the list in parts.")
        if any(cell.strip() for cell in row):
            cells = {name: cell.strip() for name, cell in zip(header, row, strict=False)}
            yield _line(rows.line_num, cells, choices)


def _line(number: int, cells: Mapping[str, str], choices: Choices) -> Listed:
    figures, faults = _figures(cells)
    texts = {name: cells.get(column, "") for column, name in _TEXTS.items()}
    codes = {
        "group": _code(texts["group"], "FISH"),
        "water_kind": _code(texts["water_kind"], "FRESH"),
        "care_class": _code(texts["care_class"], "ROUTINE"),
    }
    faults += list(_text_faults(texts))
    faults += list(_code_faults(codes, choices))
    faults += [one.sentence for one in unsound(figures)]
    return Listed(number=number, figures=figures, fault=" ".join(faults), **{**texts, **codes})


def _figures(cells: Mapping[str, str]) -> tuple[dict[str, Decimal | int | None], list[str]]:
    found: dict[str, Decimal | int | None] = {}
    faults = []
    for column, figure in _NUMBERS.items():
        text = cells.get(column, "")
        found[figure.name] = None
        if text:
            try:
                found[figure.name] = _number(text, whole=figure.is_whole)
            except (InvalidOperation, ValueError):
                faults.append(f"{figure.term}: “{text}” is not a number that fits.")
    return found, faults


def _number(text: str, *, whole: bool) -> Decimal | int:
    value = Decimal(text.replace(",", "."))
    if not value.is_finite() or value != round(value, 0 if whole else 1):
        raise ValueError(text)
    return int(value) if whole else value


def _text_faults(texts: Mapping[str, str]) -> Iterator[str]:
    if not texts["scientific_name"]:
        yield "scientificName is empty."
    for name, most in _LONGEST.items():
        if len(texts[name]) > most:
            yield f"{name.replace('_', ' ')} is longer than {most} characters."


def _code_faults(codes: Mapping[str, str], choices: Choices) -> Iterator[str]:
    offered = (
        ("group", choices.groups),
        ("water_kind", choices.water_kinds),
        ("care_class", choices.care_classes),
    )
    for name, known in offered:
        if codes[name] not in known:
            yield f"{name.replace('_', ' ')} is one of {', '.join(sorted(known))}."


def _code(text: str, otherwise: str) -> str:
    return text.upper().replace(" ", "_") or otherwise


def _separator(text: str) -> str:
    header = text.partition("\n")[0]
    return ";" if header.count(";") > header.count(",") else ","
