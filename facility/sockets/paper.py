"""What a report says, as plain rows: composed here, drawn or written out elsewhere.

All text is finished text: numbers rounded, units spelled, moments written with their zone.
"""

from dataclasses import dataclass
from itertools import chain
from typing import TypeAlias

Row: TypeAlias = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text; a line break starts a new line."""

    text: str


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under named columns.

    ``widths`` are shares of the page width, one a column; without them the columns fit their
    text. A column that holds only numbers stands to the right. ``note``, a line or a few,
    stays with the last row.

    Raises:
        ValueError: a row, or the widths, has not one cell for each column.
    """

    columns: Row
    rows: tuple[Row, ...]
    widths: tuple[float, ...] | None = None
    note: str = ""

    def __post_init__(self) -> None:
        for row in chain(self.rows, [self.widths] if self.widths else []):
            if len(row) != len(self.columns):
                raise ValueError(f"{len(self.columns)} columns, but {len(row)} cells in {row}.")


@dataclass(frozen=True, slots=True)
class Facts:
    """Labels, each with its value, read one by one."""

    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """A PNG, 200 pixels an inch or better, drawn at this size or, if too wide, smaller."""

    png: bytes
    width_mm: float
    height_mm: float
    caption: str = ""


@dataclass(frozen=True, slots=True)
class Caution:
    """A warning that must be seen before the rest is acted upon."""

    text: str


@dataclass(frozen=True, slots=True)
class Signature:
    """Who signed, when and what the signature means; what is empty is left to fill in by hand.

    Printed name, date and time, and meaning: 21 CFR 11.50(a).
    """

    meaning: str
    name: str = ""
    signed_at: str = ""


Block: TypeAlias = Paragraph | Table | Facts | Picture | Caution | Signature


@dataclass(frozen=True, slots=True)
class Section:
    """Blocks under one heading."""

    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """A whole document; ``issued`` says when and by whom.

    ``digest`` ties it to the ledger, or to what ``digest_of`` names; without one it is a paper to
    work from, kept nowhere.
    """

    title: str
    subject: str
    digest: str
    issued: str
    sections: tuple[Section, ...]
    digest_of: str = "Ledger digest"
