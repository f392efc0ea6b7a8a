"""A course from its order to its end level: who orders, when the clock runs, when it is cleared.

What an order must hold: 21 CFR 530.5. Two readings in a row start the clock, 14 days, then
cleared: trade practice (hobby magazine 2009).
"""

from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest

from facility.models import Entry
from facility.refusals import NotAllowed, NotFound
from quarantine.commands.agents import (
    AdoptAgents,
    SetAgent,
    WindowUnsound,
    adopt_agents,
    set_agent,
)
from quarantine.commands.computations import compute_dose
from quarantine.commands.containers import (
    BatchMissing,
    ContainerRetired,
    ContainerTaken,
    StrengthOffScale,
    TrialUntold,
    UnknownForm,
    record_trial,
    retire_container,
    shelve_container,
)
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
    CourseRunning,
    OrderMissing,
    OrderUnfit,
    TargetOffWindow,
    open_course,
)
from quarantine.commands.levels import CorrectedBefore, UnreadableLevel, read_level
from quarantine.commands.treatment_doses import BathEnded, NoBath, end_bath
from quarantine.commands.treatment_orders import (
    DosageUnsound,
    LicenceMissing,
    MinutesMissing,
    order_treatment,
)
from quarantine.models import Agent, Container
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
from tests.cast import NOON, House
from tests.contracts.treatment_acts import to_retire_container, to_set_agent
from tests.quarantine.ready import AT
from tests.quarantine.treating import (
    DAY,
    HOUR,
    Told,
    agents_in,
    bath_end_of,
    container_command,
    course_command,
    dose_of,
    given,
    level_of,
    level_read,
    order_of,
    ordered,
    second_of,
    tank_of,
    told_course,
    trial_of,
    tried,
)
from tests.tanks.estate import measured, opened, system_of

pytestmark = pytest.mark.django_db


def read_daily(told: Told, *, days: int, text: str = "0.17") -> datetime:
    """Twelve hours after the first dose, then daily; returns the moment of the last."""
    level_read(told, text, at=NOON + HOUR)
    level_read(told, text, at=NOON + 13 * HOUR)
    for day in range(1, days + 1):
        level_read(told, text, at=NOON + 13 * HOUR + day * DAY)
    return NOON + 13 * HOUR + days * DAY


def test_only_a_veterinarian_orders_and_says_all_the_record_needs(house: House) -> None:
    agents_in(house)
    tank = tank_of(house)
    command = order_of(tank)

    for person, refusal in ((house.mo, NotAllowed), (house.ana, NotAllowed), (house.bo, NotFound)):
        with pytest.raises(refusal):
            order_treatment(command, by=person, at=NOON)
    for changes, wrong in (
        ({"licence": " "}, LicenceMissing),
        ({"low": Decimal("0.3")}, DosageUnsound),
        ({"agent_code": "FORMALIN", "low": Decimal(150), "high": Decimal(250)}, MinutesMissing),
    ):
        with pytest.raises(wrong):
            order_treatment(replace(command, **changes), by=house.vera, at=NOON)

    order = order_treatment(command, by=house.vera, at=NOON)
    assert order == order_treatment(command, by=house.vera, at=NOON + HOUR)
    assert (order.condition, order.count, order.withdrawal_days) == ("Marine white spot", 30, 0)


def test_a_course_takes_an_order_that_holds_for_this_agent_and_this_water(house: House) -> None:
    agents_in(house)
    tank, other = tank_of(house), tank_of(house, code="Q-02")
    order = ordered(house, tank)

    with pytest.raises(OrderMissing):
        open_course(course_command(tank, None), by=house.ana, at=NOON)
    with pytest.raises(OrderUnfit):
        open_course(course_command(other, order), by=house.ana, at=NOON)
    with pytest.raises(OrderUnfit):
        open_course(course_command(tank, order, "PRAZIQUANTEL"), by=house.ana, at=NOON)
    late = NOON + 31 * DAY
    with pytest.raises(OrderUnfit):
        open_course(course_command(tank, order, at=late), by=house.ana, at=late)
    with pytest.raises(TargetOffWindow):
        open_course(course_command(tank, order, target="0.25"), by=house.ana, at=NOON)
    opened_now = open_course(course_command(tank, order), by=house.ana, at=NOON)
    assert opened_now.order == order
    with pytest.raises(CourseRunning):
        open_course(course_command(tank, order), by=house.ana, at=NOON)


def test_bound_copper_has_no_window_but_that_of_its_order(house: House) -> None:
    agents_in(house)
    tank = tank_of(house)
    order = ordered(house, tank, "COPPER_BOUND")

    course = open_course(
        course_command(tank, order, "COPPER_BOUND", target="2"), by=house.ana, at=NOON
    )

    assert (course.low, course.high) == (order.low, order.high)


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


def test_where_the_site_says_so_a_missed_window_sets_back(house: House) -> None:
    command: SetAgent = to_set_agent(house)
    later = NOON + 60 * DAY
    with pytest.raises(WindowUnsound):
        set_agent(replace(command, high=None), by=house.mo, at=later)
    set_agent(command, by=house.mo, at=later)
    agent = Agent.objects.get(period__contains=later, code="COPPER_FREE")
    assert (agent.out_of_window, agent.stops.count()) == ("RESET", 4)


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


def test_containers_one_by_one(house: House) -> None:
    agents_in(house)
    command = container_command(house)
    tub = shelve_container(command, by=house.ana, at=NOON)

    assert float(tub.strength) == pytest.approx(254.51, abs=0.01)
    for changes, refusal in (
        ({}, ContainerTaken),
        ({"batch": " "}, BatchMissing),
        ({"form": "CU_BOUND"}, UnknownForm),
        ({"batch": "K-205", "label_strength": Decimal(250)}, StrengthOffScale),
    ):
        with pytest.raises(refusal):
            shelve_container(replace(command, id=uuid4(), **changes), by=house.ana, at=NOON)
    with pytest.raises(TrialUntold):
        record_trial(trial_of(tub, was_harmed=True), by=house.ana, at=NOON)
    assert Container.objects.count() == 1


def test_what_was_taken_off_the_shelf_is_not_tried_nor_taken_off_again(house: House) -> None:
    command = to_retire_container(house)
    tub = retire_container(command, by=house.ana, at=AT)

    with pytest.raises(ContainerRetired):
        record_trial(trial_of(tub, at=AT), by=house.ana, at=AT)
    with pytest.raises(ContainerRetired):
        retire_container(replace(command, happened_at=AT + HOUR), by=house.ana, at=AT + HOUR)


def test_the_second_person_keeps_figures_of_their_own(house: House) -> None:
    told = told_course(house)
    command = second_of(told, dose_of(told))
    row = compute_dose(command, by=house.mo, at=NOON)
    assert row == compute_dose(command, by=house.mo, at=NOON + HOUR)
    assert (row.by, row.litres) == (house.mo, Decimal(400))


def test_adopted_twice_each_agent_stands_once(house: House) -> None:
    agents_in(house)
    agents_in(house)
    assert Agent.objects.filter(site=house.site).count() == 9
    assert Entry.objects.filter(kind="quarantine.adopt-agents").count() == 1
    assert adopt_agents(AdoptAgents(id=uuid4(), site_id=house.site.pk), by=house.mo, at=NOON) == []


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
