"""The next step: the plain plan unless something objects, always with one sentence why."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from chemistry.cycling import AmmoniumDose, Case, DosingPlan, Event, Reading
from chemistry.cycling.advice import NextStep, next_step
from chemistry.cycling.standing import Standing
from tests.chemistry.cycling.startups import promising_case, reading

# Last read a day and a half ago, so that the standing alone decides.
CASE = promising_case(day=6.5)
NO_CAUSE = {
    "weak_or_dead_seed": 0.0,
    "nitrite_oxidisers_missing": 0.0,
    "low_alkalinity": 0.0,
    "inhibition": 0.0,
    "cold": 0.0,
}


def _advised(
    *, case: Case = CASE, causes: dict[str, float] | None = None, **stands: Any
) -> NextStep:
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
        nitrite_members=np.full(100, stands.get("nitrite_mg_l_n", 0.5)),
        dose_scale=np.ones(100),
    )
    return next_step(replace(usual, **stands), case=case)


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
    tan[:5] = 3.6

    step = _advised(tan_members=tan)

    assert (step.kind, step.amount) == ("dose", 1.0)


def test_dose_leaves_room_for_a_water_far_smaller_than_believed() -> None:
    """4 mg/L-N into 74 % of the water believed is 5.4: over a cap of 5."""
    case = _record(*_low(tan="<0.05"))
    strong = replace(case, plan=replace(case.plan, redose_mg_l_n=4.0))

    assert _advised(case=strong, tan_mg_l_n=0.0).amount == 3.5


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


def _record(*more: Reading, doses_of: tuple[Event, ...] = (), cap: float = 5.0) -> Case:
    """Read on the hour now, seven days in; ammonia and nitrite long gone unless told otherwise."""
    case = promising_case(day=7.0)
    return replace(
        case,
        events=case.events + doses_of,
        readings=case.readings + more,
        plan=replace(case.plan, tan_cap_mg_l_n=cap),
    )


def _low(*, tan: float | str = "<0.25", nitrite: float | str = 0.5) -> tuple[Reading, ...]:
    return reading(day=7, value=tan, of="tan"), reading(day=7, value=nitrite, of="nitrite")


def test_keepers_own_fresh_reading_decides_whether_the_plan_doses() -> None:
    """The plain plan is written for kits; the ensemble may object, not reread them."""
    assert _advised(case=_record(*_low()), tan_mg_l_n=0.7).kind == "dose"
    assert _advised(case=_record(*_low(tan=1.0)), tan_mg_l_n=0.4).kind == "wait"
    assert _advised(case=_record(*_low(nitrite=3.0)), nitrite_mg_l_n=1.5).kind == "wait"


def test_reading_between_two_colours_leaves_it_to_the_ensemble() -> None:
    case = _record(*_low(tan="0.25-1"))

    assert _advised(case=case, tan_mg_l_n=0.4).kind == "dose"
    assert _advised(case=case, tan_mg_l_n=0.7).kind == "wait"


def test_record_that_speaks_of_much_nitrite_vetoes_a_low_reading() -> None:
    assert _advised(case=_record(*_low(nitrite=2.0)), nitrite_mg_l_n=4.5).kind == "wait"


def test_a_plan_of_the_cases_own_is_followed() -> None:
    case = _record(*_low())
    own = replace(case, plan=replace(case.plan, redose_mg_l_n=3.0, tan_at_or_below_mg_l_n=0.25))

    assert _advised(case=own).amount == 3.0


def test_plan_of_a_case_that_tells_none_is_the_plain_one() -> None:
    """Best of eight plans compared on simulated cycles (found in our own study; synthetic)."""
    plan = DosingPlan()

    assert plan.redose_mg_l_n == 2.0
    assert plan.tan_at_or_below_mg_l_n == 0.5
    assert plan.nitrite_at_or_below_mg_l_n == 2.0
    assert plan.tan_cap_mg_l_n == 5.0


def test_dose_made_smaller_says_so() -> None:
    tan = np.full(100, 0.2)
    tan[:5] = 3.8

    assert "less than the plan's 2" in _advised(tan_members=tan).why


def test_challenge_that_would_pass_the_cap_is_not_proposed() -> None:
    case = _record(*_low())
    strong = replace(case, ready=replace(case.ready, challenge_mg_l_n=6.0))

    assert _advised(case=strong, pass_now=0.95).kind == "dose"


def test_low_ph_with_ample_alkalinity_is_no_reason_to_add_more() -> None:
    assert _advised(ph=7.2, alkalinity_meq_l=5.0).kind == "dose"


def test_dose_recorded_over_the_cap_is_looked_into_until_ammonia_is_read() -> None:
    spilt = (AmmoniumDose(t_h=167.0, amount=8.0),)
    case = _record(*_low(tan=8.0), doses_of=spilt)

    step = _advised(case=replace(case, readings=case.readings[:-2]), tan_mg_l_n=8.0)
    assert (step.kind, "over the cap of 5" in step.why) == ("retest", True)

    assert _advised(case=case, tan_mg_l_n=8.0).kind != "retest"


def test_two_kits_that_cannot_both_be_right_ask_for_a_third_reading_and_no_fourth() -> None:
    twins = (reading(day=6.9, value=4.0, of="tan"), *_low())

    step = _advised(case=_record(*twins))
    assert (step.kind, "both kits" in step.why) == ("retest", True)

    settled = _record(*twins, reading(day=7, value="<0.25", of="tan"))
    assert _advised(case=settled).kind == "dose"


def test_two_readings_around_a_dose_are_of_two_waters() -> None:
    dosed = (AmmoniumDose(t_h=24 * 6.95, amount=2.0),)
    case = _record(
        reading(day=6.9, value="<0.25", of="tan"),
        reading(day=7, value=2.0, of="tan"),
        reading(day=7, value=0.5, of="nitrite"),
        doses_of=dosed,
    )

    assert _advised(case=case, tan_mg_l_n=2.0).kind == "wait"


@pytest.mark.parametrize(
    ("read", "is_asked"), [(0.25, True), (1.0, False), (1.9, False), (9, True)]
)
def test_dose_that_the_next_reading_does_not_show_is_looked_into(
    read: float, *, is_asked: bool
) -> None:
    dosed = (AmmoniumDose(t_h=24 * 6.9, amount=2.0),)
    case = _record(reading(day=7, value=read, of="tan"), doses_of=dosed)

    step = _advised(case=case, tan_mg_l_n=2.0, removal_mg_l_d=0.2)

    assert ("net volume" in step.why) is is_asked


def test_lone_reading_that_the_record_cannot_explain_is_taken_again() -> None:
    step = _advised(case=_record(*_low(tan=4.0)))

    assert step.kind == "retest"
    assert "0.2 to 0.2" in step.why


def test_reading_repeated_is_believed_against_the_record() -> None:
    again = (reading(day=6.9, value=4.0, of="tan"), *_low(tan=4.0))

    assert _advised(case=_record(*again)).kind == "wait"
