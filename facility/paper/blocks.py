"""Each kind of block as the pieces ReportLab sets."""

from io import BytesIO
from typing import Final
from xml.sax.saxutils import escape

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Image, KeepTogether, Paragraph, Table

from facility.paper.rows import GAP_PT, SIZE_PT, Grid, Rows, grid_of, pieces
from facility.paper.sheet import BLACK, BODY, GREY, MM_PT, NOTE, SMALL_PT
from facility.paper.typeface import FACE, lines, printable, width_pt
from facility.sockets import paper

TALLEST_MM: Final = 180.0
_CAUTION: Final = ParagraphStyle(
    "caution",
    BODY,
    leftIndent=7,
    rightIndent=7,
    borderWidth=1.1,
    borderColor=BLACK,
    borderPadding=6,
    spaceBefore=9,
    spaceAfter=13,
)


def flowables(block: paper.Block, *, measure_pt: float) -> list[Flowable]:
    """Return the pieces one block is set from, in order."""
    match block:
        case paper.Paragraph():
            return [set_text(block.text, BODY)]
        case paper.Caution():
            return [set_text(f"Caution. {block.text}", _CAUTION)]
        case paper.Table():
            return [Rows(grid_of(block, measure_pt=measure_pt))]
        case paper.Facts():
            return [Rows(_facts_grid(block, measure_pt))] if block.pairs else []
        case paper.Picture():
            return [_picture(block, measure_pt)]
        case paper.Signature():
            return [_signature(block, measure_pt)]


def set_text(text: str, style: ParagraphStyle) -> Paragraph:
    """Return running text; nothing in it is read as markup."""
    return Paragraph(escape(printable(text)).replace("\n", "<br/>"), style)


def _facts_grid(facts: paper.Facts, measure_pt: float) -> Grid:
    pairs = [(printable(label), printable(value)) for label, value in facts.pairs]
    label_pt = min(measure_pt / 4, max(_wide(label) for label, _ in pairs) + GAP_PT)
    half_pt = measure_pt / 2
    if all(_wide(value) + GAP_PT <= half_pt - label_pt for _, value in pairs):
        # Read down the left column first, then down the right one.
        half = (len(pairs) + 1) // 2
        right = [*pairs[half:], ("", "")][:half]
        rows: list[tuple[str, ...]] = [(*a, *b) for a, b in zip(pairs[:half], right, strict=True)]
        widths = [label_pt, half_pt - label_pt] * 2
    else:
        rows = [*pairs]
        widths = [label_pt, measure_pt - label_pt]
    broken = [piece for row in rows for piece in pieces(row, widths)]
    return Grid(widths_pt=widths, rows=broken, grey=frozenset({0, 2}))


def _wide(text: str) -> float:
    return max(width_pt(line, size_pt=SIZE_PT) for line in text.split("\n"))


def _picture(picture: paper.Picture, measure_pt: float) -> Flowable:
    scale = min(1.0, measure_pt / (picture.width_mm * MM_PT), TALLEST_MM / picture.height_mm)
    image = Image(
        BytesIO(picture.png),
        width=picture.width_mm * MM_PT * scale,
        height=picture.height_mm * MM_PT * scale,
        hAlign="LEFT",
    )
    caption = [set_text(picture.caption, NOTE)] if picture.caption else []
    return KeepTogether([image, *caption])


def _signature(signature: paper.Signature, measure_pt: float) -> Flowable:
    widths = [(measure_pt + GAP_PT) * share for share in (0.36, 0.28, 0.36)]
    entered = (signature.name, signature.signed_at, signature.meaning)
    values = [
        "\n".join(lines(printable(value), size_pt=SIZE_PT + 1, within_pt=width - GAP_PT))
        for value, width in zip(entered, widths, strict=True)
    ]
    labels = ["Printed name", "Date and time", "Meaning of the signature"]
    rules = [("LINEABOVE", (2 * n, 1), (2 * n, 1), 0.6, BLACK) for n in range(3)]
    return Table(
        [_spaced(values), _spaced(labels)],
        colWidths=[part for width in widths for part in (width - GAP_PT, GAP_PT)],
        style=[
            ("FONT", (0, 0), (-1, 0), FACE, SIZE_PT + 1, 11.5),
            ("FONT", (0, 1), (-1, 1), FACE, SMALL_PT),
            ("TEXTCOLOR", (0, 1), (-1, 1), GREY),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, 0), 22),
            ("TOPPADDING", (0, 1), (-1, 1), 1),
            ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
            *rules,
        ],
        spaceAfter=8,
    )


def _spaced(cells: list[str]) -> list[str]:
    return [part for cell in cells for part in (cell, "")]
