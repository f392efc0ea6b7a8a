"""Tables that run over pages: text wrapped to its column, the head repeated on every page."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import zip_longest
from typing import Any, Final, TypeAlias

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, Table

from facility.paper.columns import fitted_pt, shared_pt
from facility.paper.sheet import BLACK, GREY, HAIR, SMALL_PT
from facility.paper.typeface import FACE, lines, printable
from facility.sockets import paper

SIZE_PT: Final = 8.0
LEADING_PT: Final = 10.0
GAP_PT: Final = 9.0
_PADDING_PT: Final = 2.6
# Longer cells go on in the next row, so that no row is taller than a page.
_MOST_LINES: Final = 40
_NUMBER: Final = re.compile(r"(at (most|least) |[<>])? ?[-+\u2212]?\d+([.,]\d+)?")
_ABSENT: Final = {"", "-", "\u2013", "\u2014"}

Corner: TypeAlias = tuple[int, int]
StyleCommand: TypeAlias = tuple[str, Corner, Corner, *tuple[Any, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Cells already broken into lines; ``widths_pt`` include the gap to the right."""

    widths_pt: Sequence[float]
    head: Sequence[str] = ()
    rows: Sequence[Sequence[str]]
    right: frozenset[int] = frozenset()
    grey: frozenset[int] = frozenset()
    note: Sequence[str] = ()
    heights_pt: Sequence[float] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "heights_pt", [_height_pt(row) for row in self.rows])

    @property
    def head_pt(self) -> float:
        return _height_pt(self.head) if self.head else 0.0

    @property
    def note_pt(self) -> float:
        return len(self.note) * LEADING_PT


class Rows(Flowable):
    """Some rows of a grid under its head. Only the rows of one page are ever laid out at once."""

    def __init__(self, grid: Grid, *, start: int = 0, stop: int | None = None) -> None:
        super().__init__()
        self.grid = grid
        self.start = start
        self.stop = len(grid.rows) if stop is None else stop
        self.spaceAfter = 6.0 if self.stop == len(grid.rows) else 0.0

    def wrap(self, _width_pt: float, _height_pt: float) -> tuple[float, float]:
        self.width = sum(self.grid.widths_pt)
        rows_pt = sum(self.grid.heights_pt[self.start : self.stop])
        self.height = self.grid.head_pt + rows_pt + self._foot_pt
        return self.width, self.height

    def split(self, _width_pt: float, height_pt: float) -> list[Flowable]:
        cut = self._first_beyond(height_pt)
        if cut == self.start:
            return []
        return [Rows(self.grid, start=self.start, stop=cut), Rows(self.grid, start=cut)]

    def draw(self) -> None:
        table = _laid_out(self.grid, self.grid.rows[self.start : self.stop])
        table.wrapOn(self.canv, self.width, self.height)
        table.drawOn(self.canv, 0, self._foot_pt)
        if self._foot_pt:
            _draw_note(self.canv, self.grid)

    @property
    def _foot_pt(self) -> float:
        return self.grid.note_pt if self.stop == len(self.grid.rows) else 0.0

    def _first_beyond(self, height_pt: float) -> int:
        left_pt = height_pt - self.grid.head_pt
        for index in range(self.start, self.stop):
            left_pt -= self.grid.heights_pt[index]
            note_pt = self._foot_pt if index == self.stop - 1 else 0.0
            if left_pt < note_pt:
                return index
        return self.stop


def grid_of(table: paper.Table, *, measure_pt: float) -> Grid:
    """Break a table's text to fit the measure."""
    head = [printable(title) for title in table.columns]
    rows = [[printable(cell) for cell in row] for row in table.rows or (_none(table),)]
    columns = list(zip(head, *rows, strict=True))
    right = _numeric(columns)
    widths_pt = (
        shared_pt(table.widths, measure_pt=measure_pt)
        if table.widths
        else fitted_pt(columns, right=right, size_pt=SIZE_PT, gap_pt=GAP_PT, measure_pt=measure_pt)
    )
    return Grid(
        widths_pt=widths_pt,
        head=["\n".join(cell) for cell in _broken(head, widths_pt, SMALL_PT)],
        rows=[piece for row in rows for piece in pieces(row, widths_pt)],
        right=right,
        note=_note_lines(table.note, measure_pt),
    )


def pieces(row: Sequence[str], widths_pt: Sequence[float]) -> list[list[str]]:
    """Break one row's cells into lines; a very tall row becomes several."""
    cells = _broken(row, widths_pt, SIZE_PT)
    chunks = [
        ["\n".join(cell[n : n + _MOST_LINES]) for n in range(0, len(cell), _MOST_LINES)]
        for cell in cells
    ]
    return [list(piece) for piece in zip_longest(*chunks, fillvalue="")]


def _none(table: paper.Table) -> paper.Row:
    return ("None.", *[""] * (len(table.columns) - 1))


def _note_lines(note: str, measure_pt: float) -> list[str]:
    return lines(printable(note), size_pt=SMALL_PT, within_pt=measure_pt) if note else []


def _broken(row: Sequence[str], widths_pt: Sequence[float], size_pt: float) -> list[list[str]]:
    return [
        lines(cell, size_pt=size_pt, within_pt=width - GAP_PT)
        for cell, width in zip(row, widths_pt, strict=True)
    ]


def _numeric(columns: Sequence[Sequence[str]]) -> frozenset[int]:
    # The first column names the row, even when the name is a number.
    return frozenset(n for n in range(1, len(columns)) if _is_numeric(columns[n][1:]))


def _is_numeric(cells: Sequence[str]) -> bool:
    present = [cell for cell in cells if cell not in _ABSENT]
    return bool(present) and all(map(_NUMBER.fullmatch, present))


def _height_pt(row: Sequence[str]) -> float:
    return max(cell.count("\n") + 1 for cell in row) * LEADING_PT + 2 * _PADDING_PT


def _laid_out(grid: Grid, rows: Sequence[Sequence[str]]) -> Table:
    head = [list(grid.head)] if grid.head else []
    return Table(
        [*head, *map(list, rows)],
        colWidths=list(grid.widths_pt),
        rowHeights=[_height_pt(row) for row in [*head, *rows]],
        style=[*_body_style(grid), *(_head_style() if head else [])],
    )


def _draw_note(canvas: Canvas, grid: Grid) -> None:
    canvas.setFillColor(GREY)
    canvas.setFont(FACE, SMALL_PT)
    for below, line in enumerate(grid.note, start=1):
        canvas.drawString(0, grid.note_pt - below * LEADING_PT, line)


def _body_style(grid: Grid) -> list[StyleCommand]:
    return [
        ("FONT", (0, 0), (-1, -1), FACE, SIZE_PT, LEADING_PT),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), GAP_PT),
        ("TOPPADDING", (0, 0), (-1, -1), _PADDING_PT - 1),
        ("BOTTOMPADDING", (0, 0), (-1, -1), _PADDING_PT + 1),
        ("LINEBELOW", (0, 0), (-1, -1), 0.3, HAIR),
        *(("ALIGN", (column, 0), (column, -1), "RIGHT") for column in sorted(grid.right)),
        *(("TEXTCOLOR", (column, 0), (column, -1), GREY) for column in sorted(grid.grey)),
    ]


def _head_style() -> list[StyleCommand]:
    return [
        ("FONT", (0, 0), (-1, 0), FACE, SMALL_PT, LEADING_PT),
        ("TEXTCOLOR", (0, 0), (-1, 0), GREY),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("LINEBELOW", (0, 0), (-1, 0), 0.9, BLACK),
    ]
