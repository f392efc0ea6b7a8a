"""Tables as CSV, read back by Python's own reader: RFC 4180 sections 2.1 to 2.7."""

import csv
from io import StringIO

import pytest
from hypothesis import given
from hypothesis import strategies as st

from facility.paper.csv import csv_text
from facility.sockets.paper import Table

HARMLESS = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0")).filter(
    lambda cell: cell[:1] not in tuple("=+-@\t\r")
)


def test_lines_end_in_crlf_and_only_what_needs_quotes_has_them() -> None:
    table = Table(("Time", "Remark"), (("08:10", 'a "clear", cold\nmorning'), ("08:20", "")))

    assert csv_text(table) == ('Time,Remark\r\n08:10,"a ""clear"", cold\nmorning"\r\n08:20,\r\n')


@given(st.lists(st.tuples(HARMLESS, HARMLESS), max_size=5))
def test_every_cell_reads_back_as_it_was(rows: list[tuple[str, str]]) -> None:
    written = csv_text(Table(("one", "two"), tuple(rows)))

    read = list(csv.reader(StringIO(written, newline="")))
    assert read == [["one", "two"], *map(list, rows)]


@pytest.mark.parametrize(
    "cell", ["=1+1", "+cmd", "-2+3", "@sum", "\t=1", "\r=1", "-", "=", "-0.5 mg/L", "+1;=2"]
)
def test_what_a_spreadsheet_would_run_is_made_text(cell: str) -> None:
    written = csv_text(Table((cell,), ((cell,),)))

    assert list(csv.reader(StringIO(written, newline=""))) == [[f"'{cell}"]] * 2


@pytest.mark.parametrize("number", ["-0.5", "+3", "-1,25", "7", "<0.25"])
def test_numbers_stay_numbers(number: str) -> None:
    assert csv_text(Table(("n",), ((number,),))) == (
        f'n\r\n"{number}"\r\n' if "," in number else f"n\r\n{number}\r\n"
    )
