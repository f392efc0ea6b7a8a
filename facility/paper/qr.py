"""A QR symbol as vectors: ISO/IEC 18004, level Q, alphanumeric mode, four modules of quiet."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Final

import segno
from reportlab.pdfgen.canvas import Canvas

QUIET_MODULES: Final = 4
# The 45 characters of alphanumeric mode, ISO/IEC 18004 table 5; others need a denser symbol.
_ALPHANUMERIC: Final = re.compile(r"[0-9A-Z $%*+\-./:]+")


@dataclass(frozen=True, slots=True)
class Symbol:
    """Rows of modules, true where dark; no quiet zone."""

    modules: tuple[tuple[bool, ...], ...]

    @property
    def side_modules(self) -> int:
        return len(self.modules)

    def module_pt(self, *, side_pt: float) -> float:
        return side_pt / self.side_modules

    def quiet_pt(self, *, side_pt: float) -> float:
        """Return how much must stay blank on every side of a symbol drawn this large."""
        return QUIET_MODULES * self.module_pt(side_pt=side_pt)


def symbol(url: str) -> Symbol:
    """Return the symbol of an address.

    Raises:
        ValueError: the address has a character that alphanumeric mode has not.
    """
    if not _ALPHANUMERIC.fullmatch(url):
        raise ValueError(
            f"The label address {url!r} may hold only capitals, digits, spaces and $%*+-./: signs."
        )
    code = segno.make_qr(url, error="q", mode="alphanumeric", boost_error=False)
    return Symbol(tuple(tuple(map(bool, row)) for row in code.matrix))


def draw_symbol(
    canvas: Canvas, drawn: Symbol, *, left_pt: float, top_pt: float, side_pt: float
) -> None:
    """Draw the dark modules as one filled path, so that no seams show between them."""
    module_pt = drawn.module_pt(side_pt=side_pt)
    path = canvas.beginPath()
    for row, start, length in _runs(drawn):
        path.rect(
            left_pt + start * module_pt,
            top_pt - (row + 1) * module_pt,
            length * module_pt,
            module_pt,
        )
    canvas.drawPath(path, stroke=0, fill=1)


def _runs(drawn: Symbol) -> Iterator[tuple[int, int, int]]:
    for number, row in enumerate(drawn.modules):
        start = 0
        for dark, group in groupby(row):
            length = len(list(group))
            if dark:
                yield number, start, length
            start += length
