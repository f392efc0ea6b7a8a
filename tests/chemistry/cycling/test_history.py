"""What events do to water and biofilm, and how temperature, feed and first readings are taken."""

from dataclasses import replace

import numpy as np
import pytest

from chemistry.cycling import (
    AlkalinityAddition,
    Case,
    Disinfection,
    Event,
    Feed,
    Inoculation,
    SalinityChange,
    System,
    WaterChange,
)
from chemistry.cycling.arrays import Floats
from chemistry.cycling.history import first_state, live
from chemistry.cycling.members import Members
from chemistry.cycling.plan import follow
from chemistry.cycling.priors import NAMES, hypotheses
from chemistry.cycling.timeline import climate, timeline
from tests.chemistry.cycling.startups import (
    daily,
    doses,
    prior_members,
    reading,
    seeded_case,
)

ALKALINITY = NAMES.index("alkalinity")


def _after(*events: Event) -> tuple[Floats, Members]:
    """Return the state just after events at hour 0, following an inoculation."""
    case = Case(
        now_h=0.0,
        system=System(water="fresh", salinity_ppt=0.0),
        events=(Inoculation(t_h=0.0), *events),
    )
    members = prior_members(count=60, case=case)
    plot = timeline(case, keep_h=[0.0], longest_step_h=2.0)
    return live(plot, case=case, members=members).now, members


def test_seed_adds_its_capacity() -> None:
    state, members = _after()

    assert state[4:] == pytest.approx(members.seed_mg_l_d, abs=1e-3)


def test_abrupt_salinity_leaves_a_tenth_or_so_of_a_fresh_biofilm_at_15() -> None:
    # Kinyage 2019 (abstract): 0.10 to 0.01 g N/m2/d at 15 g/kg
    before, _ = _after()
    shocked, _ = _after(SalinityChange(t_h=0.0, salinity_ppt=15.0))

    left = shocked[4:] / before[4:]
    assert np.median(left) == pytest.approx(0.1, abs=0.1)
    assert np.quantile(left, 0.9) > 2.0 * np.median(left)  # how much is left is not known well


def test_disinfection_leaves_what_survives() -> None:
    before, members = _after()
    after, _ = _after(Disinfection(t_h=0.0))

    assert after[4:] == pytest.approx(before[4:] * members.survival)
    assert (members.survival <= 1.0).all()


def test_water_change_takes_the_water_and_leaves_the_biofilm() -> None:
    before, _ = _after()
    after, _ = _after(
        WaterChange(t_h=0.0, fraction=0.5, source_alkalinity_meq_l=3.0, source_tan_mg_l_n=0.4)
    )

    assert after[0] == pytest.approx(0.2)
    assert after[2] == pytest.approx(0.5 * before[2])
    assert after[3] == pytest.approx(0.5 * before[3] + 1.5)
    assert after[4:] == pytest.approx(before[4:])


def test_second_seeding_adds_nothing_in_the_story_where_the_first_took() -> None:
    once, _ = _after()
    twice, _ = _after(Inoculation(t_h=0.0))

    assert twice[4:] == pytest.approx(once[4:])


def test_temperature_is_straight_between_readings_and_the_last_one_lasts() -> None:
    case = seeded_case(day=5, events=(), readings=daily("temperature", 20.0, 28.0))
    weather = climate(case)

    told = weather.temperature_c(np.array([0.0, 24.0, 36.0, 48.0, 100.0]))

    assert told == pytest.approx([20.0, 20.0, 24.0, 28.0, 28.0])


def test_setpoint_stands_in_for_temperature_that_was_never_read() -> None:
    weather = climate(seeded_case(day=5, events=(), readings=()))

    assert weather.temperature_c(np.array([50.0])) == pytest.approx(27.0)


def test_warm_spell_within_a_record_speeds_it_up() -> None:
    cool = seeded_case(day=3, events=doses(0.0), readings=daily("temperature", 18.0, 18.0, 18.0))
    warm = replace(cool, readings=daily("temperature", 18.0, 28.0, 18.0))
    members = prior_members(count=3, case=cool)

    left = [
        live(timeline(case, keep_h=[0.0], longest_step_h=2.0), case=case, members=members).now[0]
        for case in (cool, warm)
    ]

    assert (left[1] < left[0]).all()


def test_salinity_steps_at_its_reading() -> None:
    weather = climate(seeded_case(day=5, events=(), readings=daily("salinity", 10.0, 20.0)))

    told = weather.salinity_g_kg(np.array([0.0, 24.0, 47.9, 48.0]))

    assert told.tolist() == [0.3, 10.0, 10.0, 20.0]


def test_ammonia_read_before_any_source_was_there_from_the_start() -> None:
    read = (reading(day=0.1, value=1.5, of="tan"),)
    members = prior_members(count=3, case=seeded_case(day=1, events=(), readings=()))

    already = first_state(seeded_case(day=1, events=(), readings=read), members)
    dosed = first_state(seeded_case(day=1, events=doses(0.01), readings=read), members)

    assert already[0] == pytest.approx(1.5)
    assert dosed[0] == pytest.approx(0.0)


def test_feed_not_yet_turned_to_ammonia_comes_on_the_first_day_ahead() -> None:
    # 20 g at 45 % in 400 L make 2.07 mg/L-N; half of the day is over
    case = seeded_case(
        day=1, readings=(), events=(Feed(t_h=12.0, feed_g=20.0, protein=0.45, volume_l=400.0),)
    )
    case = replace(case, plan=replace(case.plan, redose_mg_l_n=0.0))
    members = prior_members(count=3, case=case)
    lived = live(timeline(case, keep_h=[0.0], longest_step_h=2.0), case=case, members=members)

    ahead = follow(lived.now, case=case, members=members, kept_days=2)

    gained = ahead.kept[:2, :3].sum(axis=1) - lived.now[:3].sum(axis=0)
    assert ahead.kept_h[:2] == (36.0, 60.0)
    assert gained[0] == pytest.approx(2.07 / 4, abs=1e-5)
    assert gained[1] == pytest.approx(2.07 / 2, abs=1e-5)


def test_first_alkalinity_read_is_the_alkalinity_at_the_start() -> None:
    case = seeded_case(
        day=3, events=(), readings=(reading(day=1, value=1.0, of="alkalinity"),)
    ).up_to_now()
    story = hypotheses(case)[0]

    assert np.exp(story.median[ALKALINITY]) == pytest.approx(1.0)
    assert story.sd[ALKALINITY] < 0.2


def test_alkalinity_read_after_buffering_says_little_of_the_start() -> None:
    case = seeded_case(
        day=3,
        events=(AlkalinityAddition(t_h=10.0, amount=3.0),),
        readings=(reading(day=1, value=5.0, of="alkalinity"),),
    ).up_to_now()
    story = hypotheses(case)[0]

    assert np.exp(story.median[ALKALINITY]) == pytest.approx(2.2)
    assert story.sd[ALKALINITY] == pytest.approx(0.4)
