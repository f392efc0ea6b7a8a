"""Reports as PDF, read back with pypdf."""

import os
import subprocess
import sys
from hashlib import sha256
from io import BytesIO
from pathlib import Path

import numpy as np
import pypdf
import pytest
from PIL import Image
from pypdf.generic import Destination

from facility.paper.draw import draw
from facility.paper.sheet import A4, LETTER, Sheet
from facility.sockets.paper import (
    Block,
    Caution,
    Facts,
    Paragraph,
    Picture,
    Report,
    Section,
    Signature,
    Table,
)
from tests.facility.printing import printed_pages

DIGEST = sha256(b"ledger").hexdigest()
SHEETS = pytest.mark.parametrize("on", [A4, LETTER], ids=["a4", "letter"])


def report_of(*blocks: Block, title: str = "Readings") -> Report:
    return Report(
        title="Dossier of a biofilter start-up",
        subject="Long Room system 3",
        digest=DIGEST,
        issued="Composed 14 March 2026, 08:10 UTC, by Tamsin Orrell",
        sections=(Section(title, blocks),),
    )


def pages_of(report: Report, *, on: Sheet = A4) -> list[str]:
    return [page.extract_text() for page in pypdf.PdfReader(BytesIO(draw(report, on=on))).pages]


def long_table(rows: int) -> Table:
    cells = ((f"reading {n}", f"{n / 100:.2f}", "re-read " * (n % 12)) for n in range(rows))
    return Table(("Time", "TAN, mg/L-N", "Remark"), tuple(cells), note="Values as entered.")


def grey_png() -> bytes:
    file = BytesIO()
    Image.new("L", (40, 20), 128).save(file, "PNG")
    return file.getvalue()


def every_block() -> Report:
    return report_of(
        Paragraph(
            "Ammonia was dosed until NH₃ read ≤ 0.02 mg/L; Žofie and Жанна read <b>twice</b>."
        ),
        Caution("Local codes come first."),
        Facts((("Net volume", "412 L"), ("Salinity", "34.1 g/kg"), ("Cycle begun", "1 February"))),
        Picture(grey_png(), 80, 40, "TAN against time."),
        long_table(60),
        Signature("Reviewed", "Devi Anand", "14 March 2026, 09:00 UTC"),
    )


@SHEETS
def test_every_block_is_on_the_paper_word_for_word(on: Sheet) -> None:
    text = " ".join(" ".join(pages_of(every_block(), on=on)).split())

    assert "NH₃ read at most 0.02 mg/L; Žofie and Жанна read <b>twice</b>." in text
    for words in (
        *("Caution. Local codes come first.", "Net volume 412 L", "Cycle begun 1 February"),
        *("TAN against time.", "Values as entered."),
        *("Devi Anand 14 March 2026, 09:00 UTC Reviewed", "Meaning of the signature"),
    ):
        assert words in text


@SHEETS
def test_a_long_table_repeats_its_head_and_keeps_every_row_once(on: Sheet) -> None:
    pages = pages_of(report_of(long_table(500)), on=on)

    lines = [line for page in pages for line in page.split("\n")]
    assert len(pages) > 8
    assert all(page.count("TAN, mg/L-N") == 1 for page in pages)
    assert [line for line in lines if line.startswith("reading")] == [
        f"reading {n}" for n in range(500)
    ]


def test_every_page_says_what_it_belongs_to_and_how_many_there_are() -> None:
    pages = pages_of(report_of(long_table(200)))

    for number, page in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in page
        assert "Dossier of a biofilter start-up" in page
        assert "Long Room system 3" in page
        assert f"Ledger digest {DIGEST}" in page
        assert "by Tamsin Orrell" in page


@SHEETS
def test_a_cell_longer_than_a_page_goes_on_without_losing_a_word(on: Sheet) -> None:
    words = [f"word{n}" for n in range(2500)]
    table = Table(("Time", "Remark"), (("08:10", " ".join(words)), ("08:20", "after")))

    pages = pages_of(report_of(table, Facts((("Account", " ".join(words)),))), on=on)

    printed = [word for page in pages for word in page.split() if word.startswith("word")]
    assert printed == words * 2
    assert len(pages) > 2


@SHEETS
def test_nothing_is_printed_outside_the_margins(on: Sheet, tmp_path: Path) -> None:
    wide = Table(tuple(f"Column number {n}" for n in range(9)), (("W" * 70,) * 9,) * 3)
    report = report_of(wide, Facts((("L" * 90, DIGEST * 3),)), Paragraph("M" * 400))

    pages = printed_pages(draw(report, on=on), tmp_path, dpi=100)

    for page in pages:
        rows, columns = np.nonzero(page < 200)
        assert columns.min() / 100 * 25.4 >= 17.5
        assert columns.max() / 100 * 25.4 <= on.width_pt / 72 * 25.4 - 17.5
        assert rows.min() / 100 * 25.4 >= 9
        assert rows.max() / 100 * 25.4 <= on.height_pt / 72 * 25.4 - 9


def test_a_note_is_never_parted_from_its_table() -> None:
    for rows in range(30, 60):
        *_, ending = pages_of(report_of(long_table(rows)))
        assert f"reading {rows - 1}" in ending
        assert "Values as entered." in ending


def test_an_empty_table_says_so() -> None:
    (page,) = pages_of(report_of(Table(("Time", "Reason"), ())))

    assert "Time\nReason\nNone." in page


def test_a_picture_too_large_for_the_page_is_made_smaller() -> None:
    pages = pages_of(report_of(Picture(grey_png(), 900, 4000, "Tall.")))

    assert "Tall." in "".join(pages)


def test_a_heading_never_stands_alone_at_the_foot() -> None:
    for filler in range(25, 60):
        facts = Facts(tuple((f"Fact {n}", "x" * 90) for n in range(filler)))
        report = report_of(facts)
        ending = Section("Last heading", (long_table(4),))
        whole = Report(
            title=report.title,
            subject=report.subject,
            digest=DIGEST,
            issued="",
            sections=(*report.sections, ending),
        )
        (page,) = (page for page in pages_of(whole) if "Last heading" in page)
        assert "reading 0" in page


def test_the_reader_finds_sections_and_what_the_file_is() -> None:
    reader = pypdf.PdfReader(BytesIO(draw(every_block())))

    assert [entry.title for entry in reader.outline if isinstance(entry, Destination)] == [
        "Readings"
    ]
    assert reader.metadata is not None
    assert reader.metadata.title == "Dossier of a biofilter start-up"
    assert str(reader.root_object["/Lang"]) == "en"


def test_the_typeface_travels_with_the_file() -> None:
    page = pypdf.PdfReader(BytesIO(draw(every_block()))).pages[0]

    embedded, absent = page._get_fonts()
    assert any("NotoSans" in font for font in embedded)
    # ReportLab names Helvetica on every page it opens, and sets nothing in it.
    assert absent == {"/Helvetica"}


def test_the_same_report_gives_the_same_bytes_in_another_process() -> None:
    script = (
        "import sys; from hashlib import sha256; from tests.facility import test_paper_draw as t;"
        "sys.stdout.write(sha256(t.draw(t.every_block())).hexdigest())"
    )
    digests = {
        subprocess.run(
            [sys.executable, "-c", script],
            env=os.environ | {"PYTHONHASHSEED": seed, "TZ": zone},
            check=True,
            capture_output=True,
            text=True,
        ).stdout
        for seed, zone in (("1", "UTC"), ("2", "Asia/Tokyo"))
    }

    assert digests == {sha256(draw(every_block())).hexdigest()}


def test_another_digest_gives_other_bytes() -> None:
    changed = Report(
        title="Dossier", subject="Long Room", digest=DIGEST[::-1], issued="", sections=()
    )

    assert draw(changed) != draw(
        Report(title="Dossier", subject="Long Room", digest=DIGEST, issued="", sections=())
    )


def test_a_row_with_a_cell_too_few_is_refused() -> None:
    with pytest.raises(ValueError, match="2 columns, but 1 cells"):
        Table(("Time", "TAN"), (("08:10",),))


def test_as_many_widths_as_columns() -> None:
    with pytest.raises(ValueError, match="2 columns, but 3 cells"):
        Table(("Time", "TAN"), (), widths=(1, 1, 1))
