"""A course goes on and comes to its end: clock, baths, what calls, what is due, clearing.

Two readings in a row start the clock, 14 days, then cleared: trade practice (hobby magazine 2009).
"""

from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest

from quarantine.commands.course_ends import (
    AbandonCourse,
    BeginClearance,
    ClockNotReached,
    ConfirmClear,
    NotClear,
    ReasonMissing,
    abandon_course,
    begin_clearance,
    confirm_clear,
)
from quarantine.commands.courses import (
    CourseEnded,
)
from quarantine.commands.levels import CorrectedBefore, UnreadableLevel, read_level
from quarantine.commands.treatment_doses import BathEnded, NoBath, end_bath
from quarantine.queries.course_pages import course_page
from quarantine.queries.courses import courses_in
from quarantine.queries.treatment_duties import (
    baths_running,
    level_duties,
    treatment_remarks,
    treatment_stops,
    treatments_today,
)
from quarantine.queries.treatment_signs import treatment_signs
from tanks.commands.changes import LogWaterChange, log_water_change
from tanks.commands.incidents import LogIncident, log_incident
from tests.cast import NOON, House
from tests.quarantine.treating import (
    DAY,
    HOUR,
    Told,
    bath_end_of,
    given,
    level_of,
    level_read,
    told_course,
    tried,
)
from tests.tanks.estate import measured, opened, system_of
from tests.tanks.shelf import shelved, started

pytestmark = pytest.mark.django_db


def read_daily(told: Told, *, days: int, text: str = "0.17") -> datetime:
    """Twelve hours after the first dose, then daily; returns the moment of the last."""
    level_read(told, text, at=NOON + HOUR)
    level_read(told, text, at=NOON + 13 * HOUR)
    for day in range(1, days + 1):
        level_read(told, text, at=NOON + 13 * HOUR + day * DAY)
    return NOON + 13 * HOUR + days * DAY


def test_fourteen_days_inside_then_cleared_at_the_end_level(house: House) -> None:
    told = told_course(house)
    given(told)
    end = read_daily(told, days=14)
    assert told.stands(at=end).is_reached
    step = BeginClearance(id=uuid4(), course_id=told.course.pk, happened_at=end)
    begin_clearance(step, by=house.ana, at=end)
    clear = ConfirmClear(id=uuid4(), course_id=told.course.pk, happened_at=end + DAY)

    level_read(told, "0.08", at=end + HOUR)
    with pytest.raises(NotClear, match=r"last read as up to 0.08 mg/L"):
        confirm_clear(clear, by=house.ana, at=end + DAY)
    level_read(told, "<0.02", at=end + 2 * HOUR)
    confirm_clear(clear, by=house.ana, at=end + DAY)

    (stands,) = courses_in([told.vessel.pk], end + 2 * DAY)
    assert (stands.is_open, stands.is_cleared, stands.ended_at) == (False, True, end + DAY)
    assert stands.therapeutic_days == pytest.approx(14)
    (before,) = courses_in([told.vessel.pk], NOON + 3 * DAY)
    assert before.is_open
    assert before.binds


def test_a_missed_window_pauses_and_the_course_is_not_over_in_time(house: House) -> None:
    told = told_course(house)
    given(told)
    last = read_daily(told, days=4)
    level_read(told, "0.12", at=last + DAY)

    stands = told.stands(at=last + DAY)

    assert stands.clock is not None
    assert stands.clock.state == "paused"
    assert stands.therapeutic_days == pytest.approx(4)
    with pytest.raises(ClockNotReached, match=r"4\.0 of 14"):
        begin_clearance(
            BeginClearance(id=uuid4(), course_id=told.course.pk, happened_at=last + DAY),
            by=house.ana,
            at=last + DAY,
        )


def test_given_up_with_a_reason_it_still_binds_until_it_is_clear(house: House) -> None:
    told = told_course(house)
    given(told)
    stop = AbandonCourse(id=uuid4(), course_id=told.course.pk, happened_at=NOON + HOUR, note=" ")
    with pytest.raises(ReasonMissing):
        abandon_course(stop, by=house.ana, at=NOON + HOUR)
    abandon_course(replace(stop, note="Fish gasp"), by=house.ana, at=NOON + HOUR)

    stands = told.stands(at=NOON + 2 * HOUR)
    assert (stands.is_open, stands.binds, stands.why_abandoned) == (False, True, "Fish gasp")
    clear = ConfirmClear(id=uuid4(), course_id=told.course.pk, happened_at=NOON + DAY)
    with pytest.raises(NotClear, match="Read the level first"):
        confirm_clear(clear, by=house.ana, at=NOON + DAY)
    level_read(told, "<0.02", at=NOON + 20 * HOUR)
    confirm_clear(clear, by=house.ana, at=NOON + DAY)
    assert not told.stands(at=NOON + DAY).binds
    with pytest.raises(CourseEnded):
        abandon_course(
            replace(stop, id=uuid4(), note="Again", happened_at=NOON + DAY),
            by=house.ana,
            at=NOON + DAY,
        )


def test_a_bath_has_an_end_and_calls_when_it_is_past(house: House) -> None:
    told = told_course(house, "FORMALIN", target="200")
    tried(house, told.container)
    dose = given(told, rise="200", intent="BATH", minutes=45)
    waters = {told.vessel.pk: [told.vessel.pk]}

    (loose,) = baths_running(house.site.pk, NOON + HOUR / 2)
    assert (loose.due_back_at, loose.is_overdue) == (NOON + timedelta(minutes=45), False)
    assert not treatment_signs(house.site.pk, waters, NOON + HOUR / 2)[told.vessel.pk]
    (seen,) = treatment_signs(house.site.pk, waters, NOON + HOUR)[told.vessel.pk]
    assert (seen.level, "past its minutes" in seen.sentence) == (1, True)

    end_bath(bath_end_of(dose, at=NOON + HOUR), by=house.ana, at=NOON + HOUR)
    assert not list(baths_running(house.site.pk, NOON + 2 * HOUR))
    assert told.stands(at=NOON + 2 * HOUR).level.high == 0.0
    with pytest.raises(BathEnded):
        end_bath(bath_end_of(dose, at=NOON + HOUR), by=house.ana, at=NOON + HOUR)


def test_a_dose_that_stays_in_is_no_bath(house: House) -> None:
    told = told_course(house)
    dose = given(told)
    with pytest.raises(NoBath):
        end_bath(bath_end_of(dose, at=NOON + HOUR), by=house.ana, at=NOON + HOUR)


@pytest.mark.parametrize(
    ("text", "level", "words"),
    [
        ("0.25", 1, "above the window"),
        ("0.18-0.25", 1, "above the window"),
        ("0.10", 2, "not treating"),
        ("<0.05", 2, "not treating"),
        ("0.16", None, ""),
    ],
)
def test_a_level_out_of_the_window_calls(
    house: House, text: str, level: int | None, words: str
) -> None:
    told = told_course(house)
    given(told)
    level_read(told, text, at=NOON + HOUR)

    found = treatment_signs(house.site.pk, {told.vessel.pk: [told.vessel.pk]}, NOON + HOUR)
    seen = found[told.vessel.pk]

    assert [one.level for one in seen] == ([] if level is None else [level])
    assert all(words in one.sentence for one in seen)


def test_a_valve_opened_into_a_treated_water_calls_at_once(house: House) -> None:
    told = told_course(house)
    given(told)
    system = system_of(house)
    measured(house, system, litres="1800")
    opened(house, told.vessel, system, at=NOON + HOUR)

    found = treatment_signs(
        house.site.pk, {system.pk: [system.pk, told.vessel.pk]}, NOON + 2 * HOUR
    )

    assert [one.level for one in found[system.pk]] == [1]
    assert "a valve was opened or closed" in found[system.pk][0].sentence


def test_the_next_reading_is_due_twice_a_day_and_then_daily(house: House) -> None:
    told = told_course(house)
    assert not list(level_duties(house.site.pk, NOON))
    given(told)
    (first,) = level_duties(house.site.pk, NOON + DAY)
    assert first.due_at == NOON + 12 * HOUR
    last = read_daily(told, days=1)
    (then,) = level_duties(house.site.pk, last + DAY)
    assert then.due_at == last + DAY
    (stop,) = treatment_stops(house.site.pk, last)
    assert "Open no valve" in stop.leave


def test_a_level_is_corrected_by_a_later_row(house: House) -> None:
    told = told_course(house)
    given(told)
    wrong = level_read(told, "1.7", at=NOON + HOUR)
    command = level_of(
        told, "0.17", at=NOON + HOUR, corrects_id=wrong.pk, reason="Misread the point"
    )
    read_level(command, by=house.ana, at=NOON + HOUR)

    assert told.stands(at=NOON + HOUR).level.high == pytest.approx(0.17)
    with pytest.raises(CorrectedBefore):
        read_level(replace(command, id=uuid4()), by=house.ana, at=NOON + HOUR)
    with pytest.raises(UnreadableLevel):
        level_read(told, "much", at=NOON + HOUR)


def test_a_treated_water_says_so_in_writing_wherever_it_is_shown(house: House) -> None:
    """SI 2018/486, Schedule 3, paragraph 2(2): under treatment is marked, and not sold."""
    told = told_course(house)
    given(told)

    (remark,) = treatment_remarks([told.vessel.pk], NOON + HOUR)
    (today,) = treatments_today(house.site.pk, NOON + HOUR)

    assert remark == today
    assert remark.stops
    assert remark.sentence.startswith("Q-01 is under treatment with Copper, free")


def test_after_a_change_the_tank_leads_to_what_puts_it_back(house: House) -> None:
    told = told_course(house)
    given(told)
    change = LogWaterChange(
        id=uuid4(), vessel_id=told.vessel.pk, litres=Decimal(120), happened_at=NOON + HOUR
    )
    log_water_change(change, by=house.ana, at=NOON + HOUR)

    (remark,) = treatment_remarks([told.vessel.pk], NOON + 2 * HOUR)

    # 0.18 mg/L x 120 of 400 L.
    assert "restore 0.054 mg/L" in remark.sentence
    assert remark.url == f"/courses/{told.course.pk}/dose/?intent=REDOSE"


def test_a_filter_that_got_the_agent_is_to_be_reported_once(house: House) -> None:
    """Copper, disinfectants and antibiotics void what is proven of a filter: trade practice."""
    told = told_course(house)
    started(house, told.vessel, shelved(house))
    assert not course_page(told.course, at=NOON).is_filter_untold
    given(told)
    assert course_page(told.course, at=NOON + HOUR).is_filter_untold
    incident = LogIncident(
        id=uuid4(),
        vessel_id=told.vessel.pk,
        kind="DISINFECTANT",
        lasted_h=None,
        note="Copper course",
        happened_at=NOON + HOUR,
    )
    log_incident(incident, by=house.ana, at=NOON + HOUR)

    assert not course_page(told.course, at=NOON + 2 * HOUR).is_filter_untold
