"""A table as comma-separated values: RFC 4180, UTF-8, first line the column names."""

import csv
import re
from io import StringIO
from typing import Final

from facility.sockets import paper

# A spreadsheet runs a cell that begins so as a formula. A plain signed number is harmless.
_FORMULA: Final = re.compile(r"[=+\-@\t\r]")
_NUMBER: Final = re.compile(r"[+-]?\d+([.,]\d+)?")


def csv_text(table: paper.Table) -> str:
    """Return the table as CSV; a cell a spreadsheet would run begins with an apostrophe."""
    file = StringIO(newline="")
    writer = csv.writer(file, lineterminator="\r\n")
    writer.writerows([_inert(cell) for cell in row] for row in (table.columns, *table.rows))
    return file.getvalue()


def _inert(cell: str) -> str:
    runs = _FORMULA.match(cell) and not _NUMBER.fullmatch(cell)
    return f"'{cell}" if runs else cell
