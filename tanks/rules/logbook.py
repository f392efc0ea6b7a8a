"""An existing log as CSV text: which columns, which lines, and what is wrong with them. Pure.

Columns, in any order: time (ISO 8601 with its zone), tank, parameter, value, unit, basis, method,
person. Separated by commas or semicolons, UTF-8 with or without a byte order mark.
"""

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from io import StringIO
from typing import Any, Final

from facility.rules.calendar import OFF_CALENDAR, is_on_calendar
from tanks.rules.values import PARAMETERS, UnknownUnit, measure_of, measures

COLUMNS: Final = ("time", "tank", "parameter", "value", "unit", "basis", "method", "person")
_SPELLINGS: Final = {
    **{code.casefold(): code for code in PARAMETERS},
    **{name.casefold(): code for code, name in PARAMETERS.items()},
    "temp": "TEMPERATURE",
    "dissolved oxygen": "OXYGEN",
    "total chlorine": "CHLORINE",
}
_UNITS: Final = {
    "°c": "degC",
    "c": "degC",
    "degc": "degC",
    "°f": "degF",
    "f": "degF",
    "degf": "degF",
    "mg/l": "mg/L",
    "meq/l": "meq/L",
    "dkh": "dKH",
    "°dkh": "dKH",
    "ppt": "g/kg",
    "psu": "g/kg",
    "": "",
}
_BASES: Final = {"caco3": "CaCO3", "cl2": "Cl2"}


class BadLog(ValueError):  # noqa: N818  the house names refusals by what is so
    """The file as a whole cannot be read; the sentence says how to mend it."""


class BadLine(ValueError):  # noqa: N818  the house names refusals by what is so
    """One line cannot be read; the sentence says why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the file as it was written; ``number`` counts the header as 1."""

    number: int
    cells: dict[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted:
    """A line whose own words are in order."""

    line: Line
    happened_at: datetime
    tank: str
    parameter: str
    value: str
    unit: str
    basis: str
    method: str
    person: str


def lines(text: str) -> Iterator[Line]:
    """Yield the lines below the header; empty ones are left out.

    Raises:
        BadLog: there is no header, or a column is missing.
    """
    rows = csv.reader(StringIO(text.lstrip("\ufeff"), newline=""), delimiter=_separator(text))
    try:
        yield from _lines(rows)
    except csv.Error as error:
        raise BadLog(
            f"Line {rows.line_num} cannot be read; look for a quotation mark that is not closed."
        ) from error


def noted(line: Line) -> Noted:
    """Read one line by itself.

    Raises:
        BadLine
    """
    cells = line.cells
    if any("\n" in cell or "\r" in cell for cell in cells.values()):
        raise BadLine(
            "A quotation mark opened here is not closed; the lines after it went with it."
        )
    parameter = _parameter(cells["parameter"])
    unit, basis = _measure(parameter, cells["unit"], cells["basis"])
    for column in ("tank", "value", "method", "person"):
        if not cells[column]:
            raise BadLine(f"The column {column} is empty.")
    return Noted(
        line=line,
        happened_at=_moment(cells["time"]),
        tank=cells["tank"],
        parameter=parameter,
        value=cells["value"],
        unit=unit,
        basis=basis,
        method=cells["method"],
        person=cells["person"],
    )


def _lines(rows: Any) -> Iterator[Line]:
    header = [cell.strip().casefold() for cell in next(rows, [])]
    if missing := [column for column in COLUMNS if column not in header]:
        raise BadLog(
            f"The first line must name the columns {', '.join(COLUMNS)}; "
            f"{' and '.join(missing)} {'is' if len(missing) == 1 else 'are'} missing."
        )
    places = {column: header.index(column) for column in COLUMNS}
    number = rows.line_num + 1
    for row in rows:
        if any(cell.strip() for cell in row):
            yield Line(number=number, cells=_cells(row, places))
        number = rows.line_num + 1


def _separator(text: str) -> str:
    header = text.lstrip("\ufeff").partition("\n")[0]
    return ";" if header.count(";") > header.count(",") else ","


def _cells(row: list[str], places: dict[str, int]) -> dict[str, str]:
    return {
        column: row[place].strip() if place < len(row) else "" for column, place in places.items()
    }


def _moment(text: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError as error:
        raise BadLine(f"“{text}” is not a time such as 2026-03-28T09:30+00:00.") from error
    if moment.tzinfo is None:
        raise BadLine(f"The time {text} has no zone; write one such as {text}+01:00 or {text}Z.")
    if not is_on_calendar(moment.year):
        raise BadLine(OFF_CALENDAR)
    return moment


def _parameter(text: str) -> str:
    code = _SPELLINGS.get(text.casefold())
    if code is None:
        raise BadLine(f"“{text}” is not a parameter; write one of {', '.join(PARAMETERS).lower()}.")
    return code


def _measure(parameter: str, unit: str, basis: str) -> tuple[str, str]:
    """Find unit and basis however they are capitalised; what could mean two things is refused."""
    unit = _UNITS.get(unit.casefold(), unit)
    wanted = _BASES.get(basis.casefold(), basis.upper())
    if parameter == "PH":
        unit, wanted = "pH", wanted or "NBS"
    alone = [each for each in measures(parameter) if each.unit == unit]
    if not wanted and len(alone) == 1 and parameter in {"ALKALINITY", "CHLORINE"}:
        return unit, alone[0].basis
    try:
        measure_of(parameter, unit, wanted)
    except UnknownUnit as error:
        raise BadLine(str(error)) from error
    return unit, wanted
