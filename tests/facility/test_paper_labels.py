"""Label sheets, judged as a phone sees them: printed to pixels and read by ZXing.

Quiet zone of four modules and level Q: ISO/IEC 18004, table 5 for the alphanumeric set.
Symbol of 20 mm or more: the house's own demand.
"""

from dataclasses import replace
from hashlib import sha256
from io import BytesIO
from pathlib import Path

import pypdf
import pytest
import zxingcpp

from facility.paper.labels import A4_3_BY_7, LETTER_2_BY_5, Label, Layout, label_sheets
from facility.paper.qr import symbol
from facility.rules.codes import new_code, printed
from tests.facility.printing import Pixels, printed_pages

DPI = 300
PIXELS_A_MM = DPI / 25.4
PIXELS_A_PT = DPI / 72
LAYOUTS = pytest.mark.parametrize("layout", [A4_3_BY_7, LETTER_2_BY_5], ids=["a4", "letter"])


def a_label(number: int, *, host: str = "127.0.0.1:8000") -> Label:
    code = new_code(sha256(str(number).encode()).digest())
    name = f"Quarantine rack {number}, upper row, {'left' * (number % 9)} ≤ Žofie № Ж"
    return Label(code=code, name=name, place="Backroom → sump", url=f"HTTP://{host}/T/{code}")


@LAYOUTS
def test_every_label_of_two_sheets_reads_back_to_its_address(
    layout: Layout, tmp_path: Path
) -> None:
    labels = [a_label(number) for number in range(layout.count + 2)]

    pages = printed_pages(label_sheets(labels, layout=layout), tmp_path, dpi=DPI)

    read = [{code.text for code in zxingcpp.read_barcodes(page)} for page in pages]
    urls = [label.url for label in labels]
    assert read == [set(urls[: layout.count]), set(urls[layout.count :])]


@pytest.mark.parametrize("host", ["T.EXAMPLE", "TANKS.QUILLHAVEN.EXAMPLE:8000"])
@LAYOUTS
def test_symbols_are_large_enough_and_stand_in_four_modules_of_quiet(
    layout: Layout, host: str, tmp_path: Path
) -> None:
    labels = [a_label(number, host=host) for number in range(layout.count)]

    (page,) = printed_pages(label_sheets(labels, layout=layout), tmp_path, dpi=DPI)

    codes = zxingcpp.read_barcodes(page)
    assert len(codes) == layout.count
    for code in codes:
        assert code.ec_level == "Q"
        left, top = code.position.top_left.x, code.position.top_left.y
        side = code.position.bottom_right.x - left
        assert 20 <= layout.symbol_pt / 72 * 25.4 == pytest.approx(side / PIXELS_A_MM, abs=0.3)
        quiet = 4 * side / symbol(code.text).side_modules
        assert ink_around(page, left, top, side=side, within=quiet) == 0


def ink_around(page: Pixels, left: int, top: int, *, side: int, within: float) -> int:
    """Count dark pixels in the frame around a symbol, two pixels of antialiasing left out."""
    reach, blur = int(within) - 2, 2
    frame = page[top - reach : top + side + reach, left - reach : left + side + reach] < 200
    inner = slice(reach - blur, reach + side + blur)
    return int(frame.sum() - frame[inner, inner].sum())


@LAYOUTS
def test_nothing_is_printed_within_a_millimetre_of_a_label_edge(
    layout: Layout, tmp_path: Path
) -> None:
    labels = [a_label(number) for number in range(layout.count)]

    (page,) = printed_pages(label_sheets(labels, layout=layout), tmp_path, dpi=DPI)

    for place in range(layout.count):
        left_pt, top_pt = layout.corner_pt(place)
        left, top = left_pt * PIXELS_A_PT, (layout.sheet.height_pt - top_pt) * PIXELS_A_PT
        width, height = (side_pt * PIXELS_A_PT for side_pt in layout.label_pt)
        cell = page[round(top) : round(top + height), round(left) : round(left + width)] < 200
        edge = round(PIXELS_A_MM)
        assert cell.sum() == cell[edge:-edge, edge:-edge].sum() > 0


@LAYOUTS
def test_the_code_and_the_tank_can_be_read_without_a_camera(layout: Layout) -> None:
    label = replace(a_label(1), name="Long Room 3")

    pdf = label_sheets([label], layout=layout)

    text = pypdf.PdfReader(BytesIO(pdf)).pages[0].extract_text()
    assert text.split("\n")[:2] == [printed(label.code), "Long Room 3"]
    assert "Backroom to sump" in text


def test_used_labels_are_left_alone() -> None:
    labels = [a_label(number) for number in range(3)]

    pages = pypdf.PdfReader(BytesIO(label_sheets(labels, used=19))).pages

    assert [printed(labels[2].code) in page.extract_text() for page in pages] == [False, True]


@pytest.mark.parametrize("used", [-1, 21])
def test_more_used_labels_than_the_sheet_has_are_refused(used: int) -> None:
    with pytest.raises(ValueError, match=f"from 0 to 20 on this sheet, not {used}"):
        label_sheets([a_label(1)], used=used)


def test_the_sheets_are_the_generic_sizes() -> None:
    """Margins by arithmetic: 7.21 and 15.15 mm on A4; 5/32 and 1/2 inch on Letter."""
    assert A4_3_BY_7.left_pt / 72 * 25.4 == pytest.approx(7.21)
    assert A4_3_BY_7.top_pt / 72 * 25.4 == pytest.approx(15.15)
    assert LETTER_2_BY_5.left_pt / 72 == pytest.approx(5 / 32)
    assert LETTER_2_BY_5.top_pt / 72 == pytest.approx(1 / 2)


@pytest.mark.parametrize("url", ["http://HOST/T/ABCDEFG", "HTTP://HOST/T/Ж", "", "HTTP://A_B/T/C"])
def test_an_address_outside_the_alphanumeric_set_is_refused(url: str) -> None:
    with pytest.raises(ValueError, match="may hold only capitals"):
        label_sheets([replace(a_label(1), url=url)])


def test_an_address_too_long_for_a_legible_symbol_is_refused() -> None:
    with pytest.raises(ValueError, match=r"0\.4\d mm and a phone needs 0\.5 mm"):
        label_sheets([a_label(1, host="H" * 120)])


@pytest.mark.parametrize(("length", "side"), [(29, 25), (30, 29), (47, 29), (48, 33)])
def test_symbols_have_the_versions_the_standard_gives_at_level_q(length: int, side: int) -> None:
    """ISO/IEC 18004: at level Q versions 2 and 3 hold 29 and 47 characters; side 17 + 4v."""
    assert symbol("A" * length).side_modules == side
