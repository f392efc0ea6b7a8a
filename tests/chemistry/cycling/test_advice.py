"""The next step: the plain plan unless something objects, always with one sentence why."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from chemistry.cycling.advice import NextStep, next_step
from chemistry.cycling.standing import Standing
from tests.chemistry.cycling.startups import promising_case

CASE = promising_case()
NO_CAUSE = {
    "weak_or_dead_seed": 0.0,
    "nitrite_oxidisers_missing": 0.0,
    "low_alkalinity": 0.0,
    "inhibition": 0.0,
    "cold": 0.0,
}


def _advised(*, causes: dict[str, float] | None = None, **stands: Any) -> NextStep:
    usual = Standing(
        tan_mg_l_n=0.2,
        nitrite_mg_l_n=0.5,
        alkalinity_meq_l=2.5,
        ph=7.9,
        removal_mg_l_d=1.5,
        pass_now=0.1,
        causes=NO_CAUSE | (causes or {}),
        unread_h=0.0,
        tan_members=np.full(100, stands.get("tan_mg_l_n", 0.2)),
        dose_scale=np.ones(100),
    )
    return next_step(replace(usual, **stands), case=CASE)


def test_low_ammonia_and_nitrite_call_for_the_plans_dose() -> None:
    step = _advised()

    assert (step.kind, step.amount, step.unit) == ("dose", 2.0, "mg/L-N")


def test_standing_nitrite_calls_for_patience() -> None:
    step = _advised(nitrite_mg_l_n=6.0)

    assert step.kind == "wait"
    assert "6.0" in step.why


def test_standing_ammonia_calls_for_patience() -> None:
    assert _advised(tan_mg_l_n=1.5).kind == "wait"


def test_dose_shrinks_until_the_cap_is_kept_by_97_in_100() -> None:
    tan = np.full(100, 0.2)
    tan[:5] = 3.8

    step = _advised(tan_members=tan)

    assert (step.kind, step.amount) == ("dose", 1.0)


def test_no_dose_at_all_where_even_a_small_one_may_pass_the_cap() -> None:
    tan = np.full(100, 0.2)
    tan[:5] = 4.9

    assert _advised(tan_members=tan).kind == "wait"


def test_three_in_a_hundred_over_the_cap_are_borne() -> None:
    tan = np.full(100, 0.2)
    tan[:3] = 4.9

    assert _advised(tan_members=tan).amount == 2.0


def test_alkalinity_short_of_the_coming_ammonia_comes_before_the_dose() -> None:
    # 0.143 meq/L per mg N: 2.2 mg/L-N take 0.31, leaving 0.29 of 0.6
    step = _advised(alkalinity_meq_l=0.6)

    assert (step.kind, step.unit) == ("buffer", "meq/L")
    assert step.amount == pytest.approx(2.0 - (0.6 - 2.2 * 0.1428), abs=0.06)


def test_enough_alkalinity_for_the_dose_needs_no_buffer() -> None:
    assert _advised(alkalinity_meq_l=1.0).kind == "dose"


def test_falling_ph_calls_for_buffer() -> None:
    assert _advised(ph=7.3).kind == "buffer"


def test_ammonia_over_the_cap_calls_for_a_water_change() -> None:
    # 8 mg/L-N brought to half the cap of 5: 1 - 2.5/8
    step = _advised(tan_mg_l_n=8.0, alkalinity_meq_l=4.0)

    assert (step.kind, step.unit) == ("water_change", "fraction")
    assert step.amount == pytest.approx(0.69, abs=0.01)


def test_inhibiting_nitrite_calls_for_a_water_change() -> None:
    assert _advised(nitrite_mg_l_n=20.0, causes={"inhibition": 0.9}).kind == "water_change"


def test_likely_pass_is_to_be_proven() -> None:
    step = _advised(pass_now=0.9)

    assert (step.kind, step.amount) == ("challenge", 1.8)
    assert "90%" in step.why


def test_stale_readings_are_renewed_before_anything_else() -> None:
    step = _advised(unread_h=96.0, pass_now=0.9, alkalinity_meq_l=0.1)

    assert step.kind == "retest"
    assert "4 days" in step.why


def test_idle_seed_is_looked_into() -> None:
    step = _advised(tan_mg_l_n=2.0, causes={"weak_or_dead_seed": 0.95}, removal_mg_l_d=0.05)

    assert step.kind == "retest"
    assert "chlorine" in step.why


def test_cold_is_the_reason_to_wait_where_it_is() -> None:
    assert "warm" in _advised(tan_mg_l_n=2.0, causes={"cold": 1.0}).why


@pytest.mark.parametrize(
    "stands",
    [{}, {"unread_h": 96.0}, {"ph": 7.0}, {"tan_mg_l_n": 9.0}, {"pass_now": 1.0}],
)
def test_every_reason_is_one_sentence(stands: dict[str, Any]) -> None:
    why = _advised(**stands).why

    assert why.endswith(".")
    assert ". " not in why
