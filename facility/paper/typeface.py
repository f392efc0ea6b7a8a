"""The one typeface on paper: what it can print, how wide text runs, where a line breaks."""

import re
import unicodedata
from collections.abc import Iterator
from functools import cache
from typing import Final

from fontpkg_noto_sans import ROOT
from reportlab.lib.utils import simpleSplit
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

FACE: Final = "NotoSans"

# Signs of the trade that the regular instance lacks.
_IN_WORDS: Final = {
    "≤": "at most",
    "≥": "at least",
    "≈": "about",
    "≠": "not equal to",
    "→": "to",
    "←": "from",
    "↔": "to and from",
    "↑": "up",
    "↓": "down",
    "✓": "yes",
    "✔": "yes",
    "✗": "no",
    "✘": "no",
    "√": "square root of",
    "∞": "unlimited",
}
_SIGN: Final = re.compile(f" ?([{''.join(_IN_WORDS)}]) ?")


def printable(text: str) -> str:
    """Return the text with every sign the typeface lacks put in words, so no box is printed.

    A sign without words of its own is printed as its Unicode name in brackets.
    """
    plain_lines = "\n".join(text.expandtabs(1).splitlines())
    composed = unicodedata.normalize("NFC", plain_lines)
    spelled = _SIGN.sub(_spelled, composed).strip(" ")
    return "".join(map(_printable_character, spelled))


def width_pt(text: str, *, size_pt: float) -> float:
    """Return how far one line of text runs."""
    return float(pdfmetrics.stringWidth(text, _face().fontName, size_pt))


def lines(text: str, *, size_pt: float, within_pt: float) -> list[str]:
    """Break text at spaces to fit a width; a word wider than that is broken where it must be."""
    if "\n" not in text and width_pt(text, size_pt=size_pt) <= within_pt:
        return [text]
    split = simpleSplit(text, _face().fontName, size_pt, within_pt)
    return [part for line in split for part in _folded(line, size_pt, within_pt)]


def register() -> str:
    """Make the typeface known to the PDF library and return its name there."""
    return str(_face().fontName)


@cache
def _face() -> TTFont:
    face = TTFont(FACE, ROOT / "files" / "NotoSans[wdth,wght].ttf")
    pdfmetrics.registerFont(face)
    return face


def _spelled(sign: re.Match[str]) -> str:
    return f" {_IN_WORDS[sign[1]]} "


@cache
def _printable_character(character: str) -> str:
    if character == "\n" or ord(character) in _face().face.charToGlyph:
        return character
    plain = unicodedata.normalize("NFKC", character)
    if plain != character:
        return printable(plain)
    name = unicodedata.name(character, "").lower()
    return f"[{name or f'U+{ord(character):04X}'}]"


def _folded(line: str, size_pt: float, within_pt: float) -> Iterator[str]:
    part = ""
    for character in line:
        if part and width_pt(part + character, size_pt=size_pt) > within_pt:
            yield part
            part = ""
        part += character
    yield part
