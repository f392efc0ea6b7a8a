from datetime import UTC, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from facility.rules.wording import Number, age, day_and_time, unit_and_basis, written

NOON = datetime(2026, 10, 25, 12, 0, tzinfo=UTC)
LONDON = ZoneInfo("Europe/London")


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, "unknown"),
        ("<0.25", "<0.25"),
        ("7.00", "7.00"),
        (0, "0"),
        (Decimal("0.250000"), "0.25"),
        (Decimal("12000.00"), "12000"),
        (Decimal(1200), "1200"),
        (Decimal("0.000"), "0"),
        (Decimal("-0.0"), "0"),
        (0.0, "0"),
        (0.021349, "0.0213"),
        (9.996, "10"),
        (27.44, "27.4"),
        (412.6, "413"),
        (1234.5, "1234"),
        (-0.5, "-0.5"),
        (3e-9, "below 0.000001"),
        (float("nan"), "unknown"),
        (float("inf"), "unknown"),
    ],
)
def test_numbers_are_written_without_false_decimals(value: Number, text: str) -> None:
    assert written(value) == text


@given(st.floats(min_value=1e-6, max_value=1e9))
def test_a_calculated_number_is_written_to_within_half_a_percent(value: float) -> None:
    # Three figures: the worst rounding is 0.5 in 100.
    assert float(written(value)) == pytest.approx(value, rel=0.005)


def test_a_concentration_names_its_basis() -> None:
    assert unit_and_basis("mg/L", "NO3") == "mg/L as NO₃"
    assert unit_and_basis("mg/L", "N") == "mg/L as N"
    assert unit_and_basis("degC") == "°C"
    assert unit_and_basis("pH") == ""


@pytest.mark.parametrize(
    ("span", "text"),
    [
        (timedelta(seconds=59), "just now"),
        (timedelta(seconds=60), "1 min ago"),
        (timedelta(minutes=119), "119 min ago"),
        (timedelta(minutes=120), "2 h ago"),
        (timedelta(hours=3, minutes=59), "3 h ago"),
        (timedelta(hours=47), "47 h ago"),
        (timedelta(hours=48), "2 d ago"),
        (timedelta(days=400), "400 d ago"),
        (-timedelta(seconds=20), "now"),
        (-timedelta(hours=5), "in 5 h"),
    ],
)
def test_an_age_is_rounded_down(span: timedelta, text: str) -> None:
    assert age(NOON - span, now=NOON) == text


def test_a_moment_stands_by_the_clock_on_the_wall() -> None:
    summer = datetime(2026, 7, 3, 23, 5, tzinfo=UTC)

    assert day_and_time(summer, zone=LONDON) == "Sat 4 Jul 2026, 00:05"
    assert day_and_time(summer, zone=ZoneInfo("America/New_York")) == "Fri 3 Jul 2026, 19:05"


def test_the_hour_a_clock_change_repeats_names_its_zone() -> None:
    # Clocks in the United Kingdom go back at 01:00 UTC on the last Sunday of October
    # (Summer Time Order 2002): 25 October in 2026.
    first = datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    again = first + timedelta(hours=1)

    assert day_and_time(first, zone=LONDON) == "Sun 25 Oct 2026, 01:30 BST"
    assert day_and_time(again, zone=LONDON) == "Sun 25 Oct 2026, 01:30 GMT"
    assert day_and_time(NOON, zone=LONDON) == "Sun 25 Oct 2026, 12:00"


def test_the_hour_after_a_skipped_one_needs_no_zone() -> None:
    # The clocks go forward at 01:00 UTC on the last Sunday of March: the 29th in 2026.
    after = datetime(2026, 3, 29, 1, 0, tzinfo=UTC)

    assert day_and_time(after, zone=LONDON) == "Sun 29 Mar 2026, 02:00"
