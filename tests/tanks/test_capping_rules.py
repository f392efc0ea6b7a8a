"""The cap on TAN: 5 mg/L-N is the usual stop line of the trade; common practice, no source."""

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tanks.rules.capping import Known, over_cap, unread
from tanks.rules.values import Interval
from tests.cast import NOON


def known(low: float, high: float | None, *, added: float = 0.0, first: bool = False) -> Known:
    return Known(tan=Interval(low, high), read_at=NOON, added_mg_l_n=added, is_first=first)


NOTHING = Known(tan=None, read_at=None, added_mg_l_n=0.0, is_first=False)
FIRST = Known(tan=None, read_at=None, added_mg_l_n=0.0, is_first=True)


def test_dose_up_to_the_cap_fits() -> None:
    assert over_cap(known(3, 3), dose_mg_l_n=2, cap_mg_l_n=5) is None


def test_dose_over_the_cap_is_told_in_numbers() -> None:
    sentence = over_cap(known(4, 4), dose_mg_l_n=2, cap_mg_l_n=5)

    assert sentence is not None
    assert "TAN would come to 6" in sentence
    assert "At most 1 mg/L-N fits." in sentence


def test_a_bracket_counts_by_its_upper_edge() -> None:
    assert over_cap(known(2, 4), dose_mg_l_n=2, cap_mg_l_n=5) is not None
    assert over_cap(known(2, 3), dose_mg_l_n=2, cap_mg_l_n=5) is None


def test_what_was_added_since_the_reading_counts_in_full() -> None:
    sentence = over_cap(known(2, 2, added=2), dose_mg_l_n=2, cap_mg_l_n=5)

    assert sentence is not None
    assert "up to 2 added since" in sentence
    assert "Read TAN again" in sentence


def test_above_the_cap_already_nothing_fits() -> None:
    sentence = over_cap(known(6, 6), dose_mg_l_n=1, cap_mg_l_n=5)

    assert sentence is not None
    assert "Wait until it has fallen." in sentence


def test_first_dose_needs_no_reading_but_keeps_to_the_cap() -> None:
    assert unread(FIRST, at=NOON, fresh_hours=24) is None
    assert over_cap(FIRST, dose_mg_l_n=6, cap_mg_l_n=5) is not None


def test_second_dose_needs_a_reading() -> None:
    assert unread(NOTHING, at=NOON, fresh_hours=24) is not None


@pytest.mark.parametrize(("hours", "asks"), [(24, False), (25, True)])
def test_a_stale_reading_is_no_reading(*, hours: int, asks: bool) -> None:
    found = unread(known(1, 1), at=NOON + timedelta(hours=hours), fresh_hours=24)

    assert (found is not None) is asks


def test_over_range_is_no_value_even_for_a_first_dose() -> None:
    sentence = unread(known(5, None, first=True), at=NOON, fresh_hours=24)

    assert sentence is not None
    assert "dilute" in sentence


@given(
    tan=st.floats(min_value=0, max_value=10),
    added=st.floats(min_value=0, max_value=10),
    dose=st.floats(min_value=0, max_value=10),
    more=st.floats(min_value=0, max_value=5),
)
def test_more_ammonia_never_makes_a_refused_dose_fit(
    tan: float, added: float, dose: float, more: float
) -> None:
    refused = over_cap(known(tan, tan, added=added), dose_mg_l_n=dose, cap_mg_l_n=5)
    with_more = over_cap(known(tan, tan, added=added), dose_mg_l_n=dose + more, cap_mg_l_n=5)

    assert refused is None or with_more is not None
