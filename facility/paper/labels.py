"""Sheets of labels: a QR symbol, its short code in large letters, the tank and its place."""

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Final

from reportlab.pdfgen.canvas import Canvas

from facility.paper.qr import Symbol, draw_symbol, symbol
from facility.paper.sheet import A4, BLACK, LETTER, MM_PT, Sheet
from facility.paper.typeface import FACE, lines, printable, register
from facility.rules.codes import printed

_NAME_PT: Final = 13.0
_PLACE_PT: Final = 8.5
_MOST_LINES: Final = 3
_LEADING: Final = 1.22
# For a hand-held phone; from memory, unverified.
_LEAST_MODULE_MM: Final = 0.5
_MARGIN_PT: Final = 3 * MM_PT
# Height of a capital as a share of the type size; type size of the code as one of the symbol.
_CAPITAL: Final = 0.714
_CODE_SHARE: Final = 0.27


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """What one label says. ``url`` in capitals: HTTP://HOST/T/CODE."""

    code: str
    name: str
    place: str
    url: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A sheet of equal labels, centred on the page: its margins are what labels and gaps leave."""

    sheet: Sheet
    columns: int
    rows: int
    label_pt: tuple[float, float]
    column_gap_pt: float
    symbol_pt: float

    @property
    def count(self) -> int:
        return self.columns * self.rows

    @property
    def code_pt(self) -> float:
        return self.symbol_pt * _CODE_SHARE

    @property
    def left_pt(self) -> float:
        labels_pt = self.columns * self.label_pt[0] + (self.columns - 1) * self.column_gap_pt
        return (self.sheet.width_pt - labels_pt) / 2

    @property
    def top_pt(self) -> float:
        return (self.sheet.height_pt - self.rows * self.label_pt[1]) / 2

    def corner_pt(self, place: int) -> tuple[float, float]:
        """Return the upper left corner of a label, counted row by row from 0."""
        row, column = divmod(place, self.columns)
        across_pt = column * (self.label_pt[0] + self.column_gap_pt)
        top_pt = self.sheet.height_pt - self.top_pt - row * self.label_pt[1]
        return self.left_pt + across_pt, top_pt


A4_3_BY_7: Final = Layout(
    sheet=A4,
    columns=3,
    rows=7,
    label_pt=(63.5 * MM_PT, 38.1 * MM_PT),
    column_gap_pt=2.54 * MM_PT,
    symbol_pt=22 * MM_PT,
)
# Labels of one inch are too low for the symbol, its quiet zone and the code: two by four inches.
LETTER_2_BY_5: Final = Layout(
    sheet=LETTER,
    columns=2,
    rows=5,
    label_pt=(101.6 * MM_PT, 50.8 * MM_PT),
    column_gap_pt=4.7625 * MM_PT,
    symbol_pt=30 * MM_PT,
)


def label_sheets(labels: Sequence[Label], *, layout: Layout = A4_3_BY_7, used: int = 0) -> bytes:
    """Return the PDF of as many sheets as it takes; the first ``used`` labels are gone already.

    Print at actual size: scaling to fit shrinks the symbol and misses the label edges.

    Raises:
        ValueError: an address suits no small symbol, or ``used`` is off the sheet.
    """
    if not 0 <= used < layout.count:
        raise ValueError(f"Used labels: from 0 to {layout.count - 1} on this sheet, not {used}.")
    register()
    file = BytesIO()
    canvas = Canvas(file, (layout.sheet.width_pt, layout.sheet.height_pt), invariant=1, lang="en")
    canvas.setTitle("Tank labels")
    canvas.setCreator("Penstock")
    canvas.setViewerPreference("PrintScaling", "None")
    for number, label in enumerate(labels, start=used):
        if number > used and number % layout.count == 0:
            canvas.showPage()
        _draw_label(canvas, label, layout, number % layout.count)
    canvas.save()
    return file.getvalue()


def _draw_label(canvas: Canvas, label: Label, layout: Layout, place: int) -> None:
    drawn = _legible(symbol(label.url), label, layout)
    quiet_pt = drawn.quiet_pt(side_pt=layout.symbol_pt)
    corner_left_pt, corner_top_pt = layout.corner_pt(place)
    spare_pt = layout.label_pt[1] - layout.symbol_pt - 3 * quiet_pt - layout.code_pt
    left_pt = corner_left_pt + quiet_pt
    top_pt = corner_top_pt - quiet_pt - max(0.0, spare_pt / 2)
    canvas.setFillColor(BLACK)
    draw_symbol(canvas, drawn, left_pt=left_pt, top_pt=top_pt, side_pt=layout.symbol_pt)
    bottom_pt = top_pt - layout.symbol_pt - quiet_pt
    _draw_code(canvas, label.code, layout, left_pt=left_pt, top_pt=bottom_pt)
    words_pt = left_pt + layout.symbol_pt + quiet_pt
    right_pt = corner_left_pt + layout.label_pt[0] - _MARGIN_PT
    _draw_words(canvas, label, left_pt=words_pt, top_pt=top_pt, within_pt=right_pt - words_pt)


def _legible(drawn: Symbol, label: Label, layout: Layout) -> Symbol:
    module_mm = drawn.module_pt(side_pt=layout.symbol_pt) / MM_PT
    if module_mm < _LEAST_MODULE_MM:
        raise ValueError(
            f"The label address {label.url!r} is too long: its modules would be {module_mm:.2f} mm "
            f"and a phone needs {_LEAST_MODULE_MM} mm. Use a shorter host name."
        )
    return drawn


def _draw_code(canvas: Canvas, code: str, layout: Layout, *, left_pt: float, top_pt: float) -> None:
    canvas.setFont(FACE, layout.code_pt)
    canvas.drawString(left_pt, top_pt - layout.code_pt * _CAPITAL, printed(code))


def _draw_words(
    canvas: Canvas, label: Label, *, left_pt: float, top_pt: float, within_pt: float
) -> None:
    baseline_pt = top_pt - _NAME_PT * _CAPITAL
    for size_pt, text in ((_NAME_PT, label.name), (_PLACE_PT, label.place)):
        canvas.setFont(FACE, size_pt)
        for line in _first_lines(text, size_pt, within_pt):
            canvas.drawString(left_pt, baseline_pt, line)
            baseline_pt -= size_pt * _LEADING


def _first_lines(text: str, size_pt: float, within_pt: float) -> list[str]:
    broken = lines(printable(text), size_pt=size_pt, within_pt=within_pt)
    if len(broken) <= _MOST_LINES:
        return broken
    rest = f"{broken[_MOST_LINES - 1]}\u2026"
    cut = lines(rest, size_pt=size_pt, within_pt=within_pt)
    last = rest if len(cut) == 1 else f"{rest[:-2]}\u2026"
    return [*broken[: _MOST_LINES - 1], last]
