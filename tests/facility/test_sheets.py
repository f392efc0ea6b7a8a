from datetime import UTC, datetime
from decimal import Decimal
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from django.forms import ChoiceField
from django.utils import timezone

from facility.forms.numbers import NumberField
from facility.forms.sheets import CommandSheet, Segmented, WallClockField
from facility.refusals import Refusal
from facility.views.refusals import show

ID = "0b9a3d0e-6a0c-4c1e-9d9b-0d0f6f1f3f10"


class ReadingSheet(CommandSheet):
    tan = NumberField(label="TAN", unit="mg/L", basis="N", low=0, high=50)
    method = ChoiceField(widget=Segmented, choices=[("KIT", "Colour kit"), ("PROBE", "Probe")])
    dilution = NumberField(label="Dilution factor", low=1, required=False)
    rare = ("dilution",)


class ClockSheet(CommandSheet):
    read_at = WallClockField()


class TanTooHigh(Refusal):
    code = "tan-too-high"
    field = "tan"


class Closed(Refusal):
    field = "vessel"


def sheet_of(**typed: str) -> ReadingSheet:
    return ReadingSheet({"id": ID, "tan": "0.5", "method": "KIT", **typed})


@pytest.mark.parametrize(
    ("typed", "value"),
    [("7.8", "7.8"), ("7,8", "7.8"), (" 12 ", "12"), ("0,25", "0.25"), ("1.250", "1.250")],
)
def test_a_number_may_have_a_point_or_a_comma(typed: str, value: str) -> None:
    sheet = sheet_of(tan=typed)

    assert sheet.is_valid(), sheet.errors
    assert sheet.cleaned_data["tan"] == Decimal(value)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "Fill this in."),
        ("about 5", "Write a number, such as 7.8."),
        ("nan", "Write a number, such as 7.8."),
        ("1,5,0", "Write a number, such as 7.8."),
        (
            "1,250",
            "Write 1250 or 1.250: a comma before three figures can be read two ways.",
        ),
        ("−0.1", "Write a number from 0 to 50."),
        ("50.01", "Write a number from 0 to 50."),
    ],
)
def test_a_bad_number_gets_one_sentence_and_stays_as_typed(typed: str, sentence: str) -> None:
    sheet = sheet_of(tan=typed)

    assert sheet.errors == {"tan": [sentence]}
    assert f'value="{typed}"' in str(sheet["tan"]) or not typed


def test_the_summary_names_the_field_and_leads_to_it() -> None:
    html = str(sheet_of(tan="60", method=""))

    assert '<a href="#id_tan">TAN: Write a number from 0 to 50.</a>' in html
    assert '<a href="#id_method">Method: Choose one.</a>' in html
    assert 'aria-describedby="id_tan_error"' in html
    assert '<ul class="problem" id="id_tan_error">' in html


def test_a_rare_field_that_is_wrong_is_unfolded() -> None:
    assert '<details class="more">' in str(sheet_of(dilution="2"))
    assert '<details class="more" open>' in str(sheet_of(dilution="0"))


def test_each_new_sheet_has_its_own_id_and_a_sheet_sent_back_keeps_it() -> None:
    fresh = {UUID(str(ReadingSheet()["id"].value())) for _ in range(3)}

    assert len(fresh) == 3
    assert f'value="{ID}"' in str(sheet_of(tan="wrong"))


def test_a_sheet_without_its_id_says_to_load_the_page_again() -> None:
    sheet = sheet_of(id="")

    assert sheet.errors == {"id": ["Load this page again: the sheet has lost its own number."]}


def test_a_moment_is_typed_by_the_clock_of_the_site() -> None:
    with timezone.override(ZoneInfo("America/New_York")):
        sheet = ClockSheet({"id": ID, "read_at": "2026-11-25T09:40"})

        assert sheet.is_valid(), sheet.errors

    assert sheet.cleaned_data["read_at"] == datetime(2026, 11, 25, 14, 40, tzinfo=UTC)


def test_a_refusal_stands_at_its_field() -> None:
    sheet = sheet_of()

    show(TanTooHigh("TAN of 60 is more than this water may hold."), on=sheet)

    assert sheet.errors == {"tan": ["TAN of 60 is more than this water may hold."]}


@pytest.mark.parametrize("refusal", [Closed("It was closed then."), Refusal("No.")])
def test_a_refusal_without_such_a_field_stands_at_the_top(refusal: Refusal) -> None:
    sheet = sheet_of()

    show(refusal, on=sheet)

    assert sheet.non_field_errors() == [refusal.sentence]
    assert refusal.sentence in str(sheet)
