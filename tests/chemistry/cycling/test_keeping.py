"""What a record shows of its keeper."""

from dataclasses import replace

import pytest

from chemistry.cycling import AlkalinityAddition, Case
from chemistry.cycling.keeping import habits
from tests.chemistry.cycling.startups import DAY_H, daily, promising_case, reading

DAYS = 20


def _case(*, read_every: int = 1, ph: float = 8.0, answered: bool = False) -> Case:
    case = promising_case(day=DAYS)
    days = range(1, DAYS, read_every)
    added = tuple(AlkalinityAddition(t_h=DAY_H * day + 0.1, amount=0.7) for day in days)
    return replace(
        case,
        events=case.events + (added if answered else ()),
        readings=(
            *(reading(day=day, value=1.0, of="tan") for day in days),
            *daily("ph", *[ph] * DAYS),
        ),
    )


def test_share_of_days_read_is_the_share_of_checks_to_come() -> None:
    assert habits(_case()).comes > 0.9
    assert habits(_case(read_every=2)).comes == pytest.approx(0.5, abs=0.1)


def test_before_anything_is_known_most_checks_are_kept_and_plans_followed() -> None:
    unknown = replace(_case(), now_h=0.0, readings=())

    assert habits(unknown).comes == pytest.approx(0.8)
    assert habits(unknown).buffers > 0.9


def test_low_ph_left_unanswered_is_believed_over_the_plan() -> None:
    assert habits(_case(ph=7.0)).buffers < 0.15
    assert habits(_case(ph=7.0, answered=True)).buffers > 0.9
    assert habits(_case(ph=8.0)).buffers > 0.9


def test_keeper_without_a_plan_to_buffer_who_buffers_is_believed_to_go_on() -> None:
    case = _case(ph=7.0, answered=True).never_buffered()
    idle = _case(ph=7.0).never_buffered()

    assert habits(case).buffers > 0.8
    assert habits(case).step_meq_l == pytest.approx(0.7)
    assert habits(idle).buffers < 0.05
