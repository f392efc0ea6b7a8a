"""A composed report to PDF."""

from itertools import chain
from typing import Final

from reportlab.platypus import CondPageBreak, Flowable, HRFlowable

from facility.paper.blocks import TALLEST_MM, flowables, set_text
from facility.paper.sheet import (
    A4,
    BLACK,
    HEADING,
    MM_PT,
    NOTE,
    SUBJECT,
    TITLE,
    Furniture,
    Sheet,
    bind,
    lines_of,
)
from facility.sockets import paper

# Below this a heading would stand alone at the foot of a page.
_LEAST_MM: Final = 32.0


def draw(report: paper.Report, *, on: Sheet = A4) -> bytes:
    """Return the report as PDF: the same report gives the same bytes."""
    furniture = Furniture(
        title=report.title,
        subject=report.subject,
        digest=_digest_line(report),
        issued=report.issued,
    )
    return bind(lambda: _story(report, on), furniture, on=on)


def _story(report: paper.Report, on: Sheet) -> list[Flowable]:
    sections = (
        _section(section, number, on) for number, section in enumerate(report.sections, start=1)
    )
    return [*_masthead(report), *chain.from_iterable(sections)]


def _masthead(report: paper.Report) -> list[Flowable]:
    return [
        set_text(report.title, TITLE),
        set_text(report.subject, SUBJECT),
        HRFlowable(width="100%", thickness=1.4, color=BLACK, spaceBefore=3, spaceAfter=4),
        set_text("\n".join(lines_of(report.issued, _digest_line(report))), NOTE),
    ]


def _digest_line(report: paper.Report) -> str:
    return f"{report.digest_of} {report.digest}" if report.digest else ""


def _section(section: paper.Section, number: int, on: Sheet) -> list[Flowable]:
    blocks = (flowables(block, measure_pt=on.measure_pt) for block in section.blocks)
    return [
        CondPageBreak(_needed_mm(section) * MM_PT),
        _Marked(section.title, f"section-{number}"),
        set_text(section.title, HEADING),
        *chain.from_iterable(blocks),
    ]


def _needed_mm(section: paper.Section) -> float:
    match section.blocks[:1]:
        case [paper.Picture(height_mm=height)]:
            return min(height, TALLEST_MM) + _LEAST_MM
        case _:
            return _LEAST_MM


class _Marked(Flowable):
    """Takes no room; makes the heading below a line of the reader's outline."""

    def __init__(self, title: str, key: str) -> None:
        super().__init__()
        self.title, self.key = title, key

    def wrap(self, _width_pt: float, _height_pt: float) -> tuple[float, float]:
        return 0.0, 0.0

    def draw(self) -> None:
        self.canv.bookmarkHorizontal(self.key, 0, 0)
        self.canv.addOutlineEntry(self.title, self.key)
