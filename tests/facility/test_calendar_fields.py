"""Years no clock of a zone can reckon with are refused where they are typed."""

import pytest
from django.core.exceptions import ValidationError

from facility.forms.sheets import CalendarField, WallClockField


@pytest.mark.parametrize("year", ["0001", "1899", "2201", "9999"])
def test_a_year_off_the_calendar_gets_one_sentence(year: str) -> None:
    for field, text in (
        (CalendarField(), f"{year}-12-31"),
        (WallClockField(), f"{year}-12-31T23:59"),
    ):
        with pytest.raises(ValidationError):
            field.clean(text)


def test_a_year_within_it_is_kept() -> None:
    assert CalendarField().clean("2026-12-31").year == 2026
    assert WallClockField().clean("2026-12-31T23:59").year == 2026
    assert CalendarField(required=False).clean("") is None
