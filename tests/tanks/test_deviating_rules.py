"""What leaving the plan would cost, in words that claim no more than was counted."""

from typing import Any

import pytest

from tanks.rules.deviating import WhatIf, what_ifs


def told(**weighed: Any) -> WhatIf:
    usual = {
        "departure": "ignore_nitrite",
        "delay_d": 5.6,
        "delay_span_d": [4.2, 8.1],
        "never_rise": 0.13,
        "never_span": [0.09, 0.18],
        "over_cap": 0.0,
        "is_bound": False,
    }
    return what_ifs([usual | weighed], cap_mg_l_n=5.0)[0]


def test_a_cost_is_told_in_half_days_with_its_span() -> None:
    sentence = told().sentence

    assert sentence.startswith("A first pass about 5.5 days later (4 to 8 days).")
    assert sentence.endswith("The chance of no pass by the horizon rises by 13 in 100.")


@pytest.mark.parametrize("span", [[-0.6, 1.4], [0.0, 0.0], [0.1, 0.4]])
def test_a_span_that_holds_nothing_is_no_difference(span: list[float]) -> None:
    sentence = told(delay_d=0.3, delay_span_d=span, never_span=[-0.01, 0.02]).sentence

    assert sentence.startswith("No difference that shows: within ")
    assert "chance" not in sentence


def test_no_difference_says_within_how_many_days() -> None:
    assert "within 2 days" in told(delay_d=0.3, delay_span_d=[-0.6, 1.4]).sentence
    assert "within 1 day." in told(delay_d=0.0, delay_span_d=[0.0, 0.0]).sentence


def test_gain_is_told_as_earlier() -> None:
    found = told(
        delay_d=-1.1, delay_span_d=[-1.9, -0.6], never_rise=-0.02, never_span=[-0.04, -0.01]
    )

    assert "about 1 day earlier (0.5 to 2 days)" in found.sentence
    assert "falls by 2 in 100" in found.sentence


def test_past_the_horizon_no_days_are_invented() -> None:
    assert "cannot be compared" in told(is_bound=True, delay_d=60.0).sentence


def test_departure_that_may_pass_the_cap_is_forbidden() -> None:
    found = told(departure="double_doses", over_cap=0.061)

    assert found.forbids == (
        "It may lift ammonia over the cap of 5 mg/L as N, in up to 7 of 100 forecasts: do not."
    )
    assert told(over_cap=0.03).forbids == ""
