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
    return what_ifs([usual | weighed], cap_mg_l_n=5.0).departures[0]


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
    assert "days" not in told(is_bound=True, delay_d=60.0).sentence


def test_what_the_horizon_hides_is_said_once_and_each_departure_says_its_own() -> None:
    usual = {"delay_d": 0.0, "delay_span_d": [0.0, 0.0], "over_cap": 0.0, "is_bound": True}
    weighed = [
        usual | {"departure": "skip_dose", "never_rise": 0.0, "never_span": [-0.01, 0.01]},
        usual | {"departure": "half_doses", "never_rise": 0.1, "never_span": [0.05, 0.2]},
        usual
        | {
            "departure": "double_doses",
            "never_rise": 0.2,
            "never_span": [0.1, 0.3],
            "delay_d": 9.0,
        },
        usual
        | {"departure": "ignore_nitrite", "never_rise": -0.2, "never_span": [-0.3, -0.1]}
        | {"delay_d": -9.0},
    ]

    rises = "The chance of no pass by the horizon rises by {} in 100."

    found = what_ifs(weighed, cap_mg_l_n=5.0)

    assert "days cannot be compared" in found.caution
    assert [one.sentence for one in found.departures] == [
        "No difference that shows in the chance of a pass by the horizon.",
        rises.format(10),
        f"{rises.format(20)} A pass by then is no longer likely.",
        "The chance of no pass by the horizon falls by 20 in 100. A pass by then becomes likely.",
    ]


def test_within_the_horizon_there_is_no_caution() -> None:
    assert what_ifs([], cap_mg_l_n=5.0).caution == ""


def test_departure_that_may_pass_the_cap_is_forbidden() -> None:
    found = told(departure="double_doses", over_cap=0.061)

    assert found.forbids == (
        "It may lift ammonia over the cap of 5 mg/L as N, in up to 7 of 100 forecasts: do not."
    )
    assert told(over_cap=0.03).forbids == ""
