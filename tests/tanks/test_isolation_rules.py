"""Ammonia behind a closed valve.

Feed to ammonia: Timmons & Ebeling, Recirculating Aquaculture (2013), P_TAN = F x PC x 0.092.
"""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tanks.rules.isolation import Isolated, Meal, rise_mg_l_n_day, says

NOON = datetime(2026, 3, 29, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)


def isolated(**changes: object) -> Isolated:
    told: dict[str, object] = {
        "at": NOON + 12 * HOUR,
        "since": NOON,
        "tan_mg_l_n": 0.1,
        "rise_mg_l_n_day": 1.0,
        "limit_mg_l_n": 2.0,
        "has_biofilter": False,
    }
    return Isolated(**(told | changes))  # type: ignore[arg-type]  # each as its field says


def test_two_grams_a_day_in_eighty_litres() -> None:
    """14 g in a week, 45 % protein: 14 x 0.45 x 0.092 / 7 = 0.0828 g a day, 1.035 mg/L in 80 L."""
    meals = [Meal(grams=7, protein_share=0.45, litres=80)] * 2

    assert rise_mg_l_n_day(meals) == pytest.approx(1.035)


def test_without_a_meal_nothing_is_claimed() -> None:
    assert rise_mg_l_n_day([]) is None
    assert "test it daily" in says(isolated(rise_mg_l_n_day=None))


def test_half_a_day_of_it() -> None:
    one = isolated()

    assert one.tan_now_mg_l_n == pytest.approx(0.6)
    assert one.hours_to_limit == pytest.approx(33.6)
    assert "About 0.6 mg/L-N by now; the site's limit of 2 mg/L-N is reached in 34 h." in says(one)


@pytest.mark.parametrize(
    ("limit_mg_l_n", "words"),
    [
        (0.5, "0.5 mg/L-N is passed by this reckoning. Test it now."),
        (0.62, "0.62 mg/L-N is reached in less than an hour."),
        (5.0, "5 mg/L-N is reached in 4 days."),
        (None, "the site has no limit for TAN here."),
    ],
)
def test_how_long_until_the_limit(limit_mg_l_n: float | None, words: str) -> None:
    assert says(isolated(limit_mg_l_n=limit_mg_l_n)).endswith(words)


@given(
    grams=st.floats(0.01, 500),
    litres=st.floats(1, 5000),
    hours=st.floats(0, 500),
    more=st.floats(0.1, 100),
)
def test_more_feed_or_more_hours_never_leave_more_time(
    grams: float, litres: float, hours: float, more: float
) -> None:
    rise = rise_mg_l_n_day([Meal(grams=grams, protein_share=0.4, litres=litres)])
    fed_more = rise_mg_l_n_day([Meal(grams=grams + more, protein_share=0.4, litres=litres)])
    soon = isolated(at=NOON + hours * HOUR, rise_mg_l_n_day=rise, tan_mg_l_n=0.0)
    later = isolated(at=NOON + (hours + more) * HOUR, rise_mg_l_n_day=rise, tan_mg_l_n=0.0)
    richer = isolated(at=NOON + hours * HOUR, rise_mg_l_n_day=fed_more, tan_mg_l_n=0.0)

    left = [one.hours_to_limit for one in (soon, later, richer)]
    assert left[0] is not None
    assert left[1] is not None
    assert left[2] is not None
    assert left[1] < left[0]
    assert left[2] < left[0]
