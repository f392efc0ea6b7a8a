"""The page: size, margins, type sizes, running header and footer. It alone knows millimetres."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from io import BytesIO
from typing import Final

from reportlab.lib.colors import Color
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate

from facility.paper.typeface import FACE, lines, printable, register, width_pt

BLACK: Final = Color(0, 0, 0)
GREY: Final = Color(0.36, 0.36, 0.36)
HAIR: Final = Color(0.72, 0.72, 0.72)

MM_PT: Final = mm
SIDE_PT: Final = 18 * mm
HEAD_PT: Final = 24 * mm
TOP_PT: Final = 16 * mm
FOOT_PT: Final = 20 * mm
SMALL_PT: Final = 7.0


TITLE: Final = ParagraphStyle("title", fontName=FACE, fontSize=21, leading=25)
SUBJECT: Final = ParagraphStyle("subject", TITLE, fontSize=11.5, leading=15, textColor=GREY)
HEADING: Final = ParagraphStyle(
    "heading", TITLE, fontSize=13, leading=16, spaceBefore=15, spaceAfter=5
)
BODY: Final = ParagraphStyle("body", TITLE, fontSize=9, leading=12.5, spaceAfter=5)
NOTE: Final = ParagraphStyle("note", TITLE, fontSize=7.5, leading=10, textColor=GREY, spaceAfter=6)


@dataclass(frozen=True, slots=True)
class Sheet:
    """The paper in the printer."""

    width_pt: float
    height_pt: float

    @property
    def measure_pt(self) -> float:
        """The width between the margins."""
        return self.width_pt - 2 * SIDE_PT


A4: Final = Sheet(210 * mm, 297 * mm)
A4_ACROSS: Final = Sheet(297 * mm, 210 * mm)
LETTER: Final = Sheet(215.9 * mm, 279.4 * mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Furniture:
    """What stands on every page around the text, and in the file's properties."""

    title: str
    subject: str
    digest: str
    issued: str


def lines_of(first: str, digest: str) -> list[str]:
    """Return a line with the digest below it, where the paper has one."""
    return [first, digest] if digest else [first]


def bind(story: Callable[[], list[Flowable]], furniture: Furniture, *, on: Sheet) -> bytes:
    """Return the PDF of a story. The same story gives the same bytes: no clock, no chance.

    It is set twice, because the first page must already say how many pages there are.
    """
    register()
    _, pages = _set(story(), furniture, on, pages=0)
    return _set(story(), furniture, on, pages=pages)[0]


def _set(
    story: list[Flowable], furniture: Furniture, on: Sheet, *, pages: int
) -> tuple[bytes, int]:
    file = BytesIO()
    book = BaseDocTemplate(
        file,
        pagesize=(on.width_pt, on.height_pt),
        invariant=1,
        lang="en",
        title=furniture.title,
        subject=furniture.subject,
        creator="Penstock",
    )
    book.addPageTemplates(_templates(furniture, on, pages=pages))
    book.build(story)
    return file.getvalue(), book.page


def _templates(furniture: Furniture, on: Sheet, *, pages: int) -> list[PageTemplate]:
    foot = partial(_draw_foot, furniture=furniture, on=on, pages=pages)
    head = partial(_draw_head, furniture=furniture, on=on)
    return [
        PageTemplate("first", [_frame(on, TOP_PT)], onPage=foot, autoNextPageTemplate="later"),
        PageTemplate("later", [_frame(on, HEAD_PT)], onPage=head, onPageEnd=foot),
    ]


def _frame(on: Sheet, top_pt: float) -> Frame:
    height_pt = on.height_pt - top_pt - FOOT_PT
    return Frame(SIDE_PT, FOOT_PT, on.measure_pt, height_pt, 0, 0, 0, 0)


def _draw_head(canvas: Canvas, _: BaseDocTemplate, *, furniture: Furniture, on: Sheet) -> None:
    baseline_pt = on.height_pt - 13 * mm
    name = f"{furniture.title} \u00b7 {furniture.subject}"
    canvas.setFillColor(GREY)
    canvas.setFont(FACE, SMALL_PT)
    for below, text in enumerate(lines_of(name, furniture.digest)):
        canvas.drawString(SIDE_PT, baseline_pt - below * 3.2 * mm, _clipped(text, on.measure_pt))
    _draw_rule(canvas, on, baseline_pt - 5 * mm)


def _draw_foot(
    canvas: Canvas, _: BaseDocTemplate, *, furniture: Furniture, on: Sheet, pages: int
) -> None:
    baseline_pt = 11 * mm
    canvas.setFillColor(GREY)
    canvas.setFont(FACE, SMALL_PT)
    canvas.drawString(SIDE_PT, baseline_pt, _clipped(furniture.issued, on.measure_pt - 30 * mm))
    number = f"Page {canvas.getPageNumber()} of {pages}"
    canvas.drawRightString(on.width_pt - SIDE_PT, baseline_pt, number)
    _draw_rule(canvas, on, baseline_pt + 3.5 * mm)


def _draw_rule(canvas: Canvas, on: Sheet, height_pt: float) -> None:
    canvas.setStrokeColor(HAIR)
    canvas.setLineWidth(0.4)
    canvas.line(SIDE_PT, height_pt, on.width_pt - SIDE_PT, height_pt)


def _clipped(text: str, within_pt: float) -> str:
    plain = printable(text)
    if width_pt(plain, size_pt=SMALL_PT) <= within_pt:
        return plain
    return lines(plain, size_pt=SMALL_PT, within_pt=within_pt - SMALL_PT)[0] + "\u2026"
