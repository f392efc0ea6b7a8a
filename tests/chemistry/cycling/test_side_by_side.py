"""Many cases at once: each must come out exactly as it would alone."""

from dataclasses import replace
from typing import Final

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chemistry.cycling import (
    AlkalinityAddition,
    AmmoniumDose,
    Case,
    Disinfection,
    Event,
    Feed,
    Forecast,
    Inoculation,
    SalinityChange,
    System,
    WaterChange,
    forecast_case,
    forecast_cases,
)
from chemistry.cycling.arrays import Precision
from chemistry.cycling.course import Course
from chemistry.cycling.history import Life, live, live_each
from chemistry.cycling.keeping import habits
from chemistry.cycling.plan import follow, follow_each
from chemistry.cycling.timeline import timeline
from tests.chemistry.cycling.startups import (
    daily,
    doses,
    flat_case,
    prior_members,
    promising_case,
    recorded_case,
)

_MEMBERS: Final = 60


def _mixed() -> list[Case]:
    """Waters that share neither length, weather, rhythm nor number of stories."""
    warm = replace(
        promising_case(),
        readings=(*promising_case().readings, *daily("temperature", 24.0, 27.5, 26.0)),
    )
    unseeded = replace(flat_case(day=9), events=doses(0.01))
    twice_a_day = replace(warm, plan=replace(warm.plan, checks_per_day=2))
    shocked = flat_case(
        day=6,
        events=(
            Disinfection(t_h=50.0),
            Inoculation(t_h=90.5),
            SalinityChange(t_h=100.0, salinity_ppt=9.0),
        ),
    )
    return [unseeded, warm, shocked, recorded_case(day=12, seed=3)[0], twice_a_day]


def _untimed(forecast: Forecast) -> Forecast:
    return replace(forecast, seconds=0.0)


def test_batch_equals_each_alone_in_any_order() -> None:
    cases = _mixed()
    alone = [_untimed(forecast_case(case, members=_MEMBERS)) for case in cases]

    together = forecast_cases(cases, members=_MEMBERS)
    backwards = forecast_cases(cases[::-1], members=_MEMBERS)[::-1]

    assert [_untimed(one) for one in together] == alone
    assert [_untimed(one) for one in backwards] == alone


def test_two_workers_tell_the_same() -> None:
    cases = [promising_case(day=day) for day in (3, 4, 5)]

    one, two = (forecast_cases(cases, members=20, workers=workers) for workers in (1, 2))

    assert [_untimed(told) for told in two] == [_untimed(told) for told in one]


def test_no_case_at_all_gives_no_forecast() -> None:
    assert forecast_cases([]) == []


def test_lives_side_by_side_equal_lives_alone() -> None:
    cases = [case.up_to_now() for case in _mixed()]
    lives = [
        Life(
            case=case,
            plot=timeline(case, keep_h=[0.0, 30.0, 72.0], longest_step_h=2.0),
            members=prior_members(count=7 + number, case=case),
        )
        for number, case in enumerate(cases)
    ]

    for life, lived in zip(lives, live_each(lives), strict=True):
        alone = live(life.plot, case=life.case, members=life.members)
        assert np.array_equal(lived.now, alone.now)
        assert np.array_equal(lived.kept, alone.kept)


def _course(case: Case, *, seed: int = 3, precision: Precision = np.float64) -> Course:
    members = prior_members(count=_MEMBERS, case=case, seed=seed)
    plot = timeline(case, keep_h=[], longest_step_h=1.0)
    lived = live_each([Life(case=case, plot=plot, members=members)], precision=precision)[0]
    return Course(case=case, state=lived.now, members=members)


def test_nobody_buffering_is_the_plan_without_alkalinity() -> None:
    course = _course(promising_case().up_to_now())

    told = follow_each([course])[0]
    never = follow_each([replace(course, case=course.case.never_buffered())])[0]

    assert np.isfinite(told.ready_at_h).any()
    assert (told.unbuffered_at_h > told.ready_at_h).any()
    assert np.array_equal(told.unbuffered_at_h, never.ready_at_h)


def test_first_dose_replaces_the_plans_own_and_only_that() -> None:
    course = _course(replace(promising_case(), now_h=0.0, events=(Inoculation(t_h=0.0),)))
    planned = course.case.plan.redose_mg_l_n

    outlooks = [
        follow(
            course.state,
            case=course.case,
            members=course.members,
            first_dose_mg_l_n=dose,
            kept_days=3,
        )
        for dose in (None, planned, 0.0, 4.0)
    ]

    by_plan, same, none, double = (outlook.kept[:, :3].sum(axis=1) for outlook in outlooks)
    scale = course.members.dose_scale
    assert np.array_equal(by_plan, same)
    assert by_plan[0] - none[0] == pytest.approx(planned * scale, rel=1e-5)
    assert double[0] - none[0] == pytest.approx(4.0 * scale, rel=1e-5)
    # a day later the plan gives its dose, where the keeper comes
    later = np.isclose(none[1], by_plan[0], rtol=1e-5)
    assert later.mean() == pytest.approx(habits(course.case).comes, abs=0.05)
    assert none[1, ~later] == pytest.approx(none[0, ~later], rel=1e-5)


def test_single_precision_moves_no_quantile_by_a_tenth_of_a_day() -> None:
    courses = [_course(case.up_to_now()) for case in _mixed()]

    single, double = (
        follow_each(courses, precision=precision) for precision in (np.float32, np.float64)
    )

    for ours, exact in zip(single, double, strict=True):
        levels = [
            np.quantile(np.minimum(one.ready_at_h, 1800.0), [0.1, 0.5, 0.9], method="inverted_cdf")
            for one in (ours, exact)
        ]
        assert levels[0] == pytest.approx(levels[1], abs=2.4)


_moment = st.floats(0.0, 120.0)
_happenings = st.lists(
    st.one_of(
        st.builds(AmmoniumDose, t_h=_moment, amount=st.floats(0.0, 100.0)),
        st.builds(AlkalinityAddition, t_h=_moment, amount=st.floats(0.0, 10.0)),
        st.builds(Inoculation, t_h=_moment),
        st.builds(Disinfection, t_h=_moment),
        st.builds(SalinityChange, t_h=_moment, salinity_ppt=st.floats(0.0, 80.0)),
        st.builds(
            Feed,
            t_h=_moment,
            feed_g=st.floats(0.0, 100.0),
            protein=st.floats(0.02, 0.95),
            volume_l=st.floats(10.0, 1000.0),
        ),
        st.builds(
            WaterChange,
            t_h=_moment,
            fraction=st.floats(0.0, 1.0),
            source_alkalinity_meq_l=st.floats(0.0, 5.0),
            source_tan_mg_l_n=st.floats(0.0, 2.0),
        ),
    ),
    max_size=8,
)


@settings(max_examples=20, deadline=None)
@given(events=_happenings, precision=st.sampled_from([np.float32, np.float64]))
def test_no_member_of_any_water_turns_negative_or_undefined(
    events: list[Event], precision: Precision
) -> None:
    case = Case(now_h=120.0, system=System(water="fresh"), events=tuple(events)).up_to_now()
    course = _course(case, precision=precision)

    ahead = follow_each([course], kept_days=5, precision=precision)[0]

    for state in (course.state, ahead.kept):
        assert np.isfinite(state).all()
        assert (state >= 0.0).all()
    assert not np.isnan(ahead.ready_at_h).any()
