"""What the typeface prints; which glyphs it has is read from the font file itself."""

import pytest
from fontpkg_noto_sans import ROOT
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfbase.ttfonts import TTFont

from facility.paper.typeface import lines, printable, width_pt


def glyphs() -> set[int]:
    return set(TTFont("judge", ROOT / "files" / "NotoSans[wdth,wght].ttf").face.charToGlyph)


@pytest.mark.parametrize(
    "text",
    ["NH₃ and CO₂", "25.5 °C, ±0.3 ½ × 2", "Žofie, Ørsted, İpek, Ł", "Жанна Петрова", "µS Ω"],
)
def test_latin_cyrillic_subscripts_and_units_are_printed_as_they_are(text: str) -> None:
    assert printable(text) == text
    assert {ord(character) for character in text} <= glyphs()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("≤ 0.25 mg/L", "at most 0.25 mg/L"),
        ("pH≥8", "pH at least 8"),
        ("tank 3→tank 4", "tank 3 to tank 4"),
        ("pass ✓", "pass yes"),
        ("🐟", "[fish]"),
        ("\x07", "[U+0007]"),
        ("one\ttwo\r\nthree\u2028four", "one two\nthree\nfour"),
        ("Z\u030c", "Ž"),
    ],
)
def test_a_sign_the_typeface_lacks_is_said_in_words(text: str, said: str) -> None:
    assert printable(text) == said


@given(st.text(st.characters(exclude_categories=["Cs"])))
def test_nothing_unprintable_ever_remains(text: str) -> None:
    assert {ord(character) for character in printable(text)} <= glyphs() | {ord("\n")}


@given(st.text("ab W-"), st.floats(20, 200))
def test_lines_fit_and_lose_no_letter(text: str, within_pt: float) -> None:
    broken = lines(text, size_pt=8, within_pt=within_pt)

    assert "".join("".join(broken).split()) == "".join(text.split())
    assert all(width_pt(line.rstrip(), size_pt=8) <= within_pt for line in broken)


def test_a_word_wider_than_its_column_is_broken() -> None:
    digest = "9f86d081884c7d65" * 4

    broken = lines(digest, size_pt=8, within_pt=100)

    assert len(broken) > 2
    assert "".join(broken) == digest
