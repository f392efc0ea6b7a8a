"""Papers line by line: what a CITES line must say (50 CFR 23.23(c), 23.24; edition of 2015)."""

from dataclasses import replace
from datetime import date
from typing import Any, Final

import pytest

from quarantine.rules.papers import (
    Paper,
    as_kept,
    faults,
    is_expired,
    paper_from,
    quantity_of,
    standing,
)

TODAY: Final = date(2026, 3, 29)
GOOD: Final = Paper(
    kind="CITES",
    number="25XQ003117",
    valid_until=date(2026, 9, 1),
    appendix="II",
    scientific_name="Hippocampus kuda",
    quantity="24 specimens",
    source_code="C",
)


def test_a_line_that_says_all_is_taken() -> None:
    assert faults(GOOD) == []
    assert standing(GOOD, on=TODAY) == ""


@pytest.mark.parametrize("said", ["one box", "1 box", "1 case", "one batch", "2 bags", "", "0"])
def test_a_box_is_no_quantity(said: str) -> None:
    assert [one.field for one in faults(replace(GOOD, quantity=said))] == ["quantity"]


@pytest.mark.parametrize(
    ("said", "is_"),
    [("24", (24, "specimens")), ("24 specimens", (24, "specimens")), ("3,5 kg", (3.5, "kg"))],
)
def test_a_quantity_has_a_number_and_a_unit(said: str, is_: tuple[float, str]) -> None:
    assert quantity_of(said) == is_


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("number", " "),
        ("valid_until", None),
        ("appendix", "IV"),
        ("scientific_name", "Hippocampus"),
        ("scientific_name", "Scleractinia"),
        ("source_code", "Z"),
        ("source_code", ""),
    ],
)
def test_what_is_missing_is_told_field_by_field(field: str, value: Any) -> None:
    assert [one.field for one in faults(replace(GOOD, **{field: value}))] == [field]


def test_coral_is_told_to_the_species_and_coral_rock_by_its_order() -> None:
    assert faults(replace(GOOD, scientific_name="Acropora millepora")) == []
    assert faults(replace(GOOD, scientific_name="Scleractinia (coral rock)")) == []


def test_it_holds_until_midnight_at_the_end_of_the_day_printed_on_it() -> None:
    paper = replace(GOOD, valid_until=TODAY)

    assert not is_expired(paper, on=TODAY)
    assert "expires at midnight on 29 March 2026" in standing(paper, on=TODAY)
    assert is_expired(paper, on=date(2026, 3, 30))
    assert "expired at midnight" in standing(paper, on=date(2026, 3, 30))


def test_other_papers_need_a_number_and_no_more() -> None:
    assert faults(Paper(kind="INVOICE", number="4711")) == []
    assert [one.field for one in faults(Paper(kind="HEALTH"))] == ["number"]
    assert [one.field for one in faults(Paper(kind="LETTER", number="1"))] == ["kind"]
    assert standing(Paper(kind="INVOICE", number="4711"), on=TODAY) == ""
    assert standing(Paper(kind="HEALTH", number="1"), on=TODAY)


def test_kept_and_read_back_it_is_the_same() -> None:
    assert paper_from(as_kept(GOOD)) == GOOD
    assert paper_from({"kind": "INVOICE", "number": "1"}) == Paper(kind="INVOICE", number="1")
