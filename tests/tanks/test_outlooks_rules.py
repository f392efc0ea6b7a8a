from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from tanks.rules.outlooks import causes, first_pass, outlooks, window, without_clock

BEGAN = datetime(2026, 3, 27, 9, tzinfo=UTC)
LISBON = ZoneInfo("Europe/Lisbon")


def answer(**hours: float | None) -> dict[str, Any]:
    usual = {"p10": 240.0, "p25": 288.0, "p50": 336.0, "p75": 480.0, "p90": None}
    return {"ready_at_h": usual | hours, "never_by_horizon": 0.12}


def told(answered: dict[str, Any], *, day: float = 8.0) -> Any:
    return window(answered, started_at=BEGAN, now_h=24.0 * day, horizon_h=1800.0, zone=LISBON)


def test_a_window_is_told_in_days_and_by_the_calendar() -> None:
    found = told(answer())

    assert found.half == "day 12 (8 Apr) to day 20 (16 Apr)"
    assert found.most == "day 10 (6 Apr) to past day 75"
    assert found.never == "12 %"


def test_first_week_knows_weeks_and_no_date() -> None:
    """Before about day 7 to 10 no forecast beat the spread of earlier start-ups (own study)."""
    found = told(answer(), day=6.9)

    assert found.half == "week 2 to week 3"
    assert found.most == "week 2 to past day 75"
    assert (found.dates, found.middle) == ("", "")


def test_quantiles_past_the_horizon_stay_unknown() -> None:
    found = first_pass(answer(p50=None, p75=None), started_at=BEGAN)

    assert found.p25_at == BEGAN + timedelta(days=12)
    assert (found.p50_at, found.p75_at, found.p90_at) == (None, None, None)


def test_the_likeliest_cause_stands_first_with_a_number_and_a_word() -> None:
    found = causes({"cold": 0.0, "low_alkalinity": 0.71, "inhibition": 0.999})

    assert [(one.code, one.share, one.word) for one in found] == [
        ("inhibition", "over 99 %", "almost sure"),
        ("low_alkalinity", "71 %", "likely"),
        ("cold", "under 1 %", "very unlikely"),
    ]


@pytest.mark.parametrize("share", [0.0, 0.004, 0.996, 1.0])
def test_no_cause_is_ever_told_as_certain(share: float) -> None:
    (found,) = causes({"cold": share})

    assert found.share not in {"0 %", "100 %"}


def test_bands_begin_at_now() -> None:
    bands = {
        "t_h": [0.0, 24.0, 48.0, 72.0],
        "tan": {"p10": [1, 2, 3, 4], "p50": [1, 2, 3, 4], "p90": [1, 2, 3, 4]},
    }

    (found,) = outlooks(bands, started_at=BEGAN, from_h=48.0)

    assert found.parameter == "TAN"
    assert found.at == (BEGAN + timedelta(days=2), BEGAN + timedelta(days=3))
    assert found.p50 == (3, 4)


def test_two_cases_with_the_same_facts_differ_only_in_their_clock() -> None:
    case = {"now_h": 10.0, "readings": [{"t_h": 1.0}]}

    assert without_clock(case) == without_clock(case | {"now_h": 11.0})
    assert without_clock(case) != without_clock(case | {"readings": []})
