"""Duties come round by themselves: nothing is raised twice, nothing missed while nobody looked."""

from datetime import date, time, timedelta

import pytest

from facility.commands.duties import EndDuty, end_duty
from facility.models import Entry, Task
from facility.queries.proof import first_breach
from facility.queries.work import tasks_of, undone
from tests.cast import NOON, House
from tests.facility.working import answered, raised, set_for

pytestmark = pytest.mark.django_db

DAY = timedelta(days=1)


def test_a_turn_is_raised_once_with_the_window_of_its_duty(house: House) -> None:
    set_for(house)

    (task,) = raised(house, until=NOON + DAY)
    assert raised(house, until=NOON + DAY) == []

    # 9:00 on the 30th in Lisbon, which is at UTC+1 by then.
    local = [
        each.astimezone(house.site.zone) for each in (task.opens_at, task.due_at, task.late_at)
    ]
    assert [(moment.day, moment.hour) for moment in local] == [(30, 8), (30, 9), (30, 10)]
    assert Task.objects.count() == 1
    assert Entry.objects.filter(kind="facility.raise-tasks").count() == 1
    assert first_breach(house.site) is None


def test_hours_nobody_raised_are_caught_up(house: House) -> None:
    set_for(house, rule="FREQ=HOURLY;INTERVAL=6", at=NOON)

    raised(house, until=NOON + DAY)
    late = raised(house, until=NOON + 4 * DAY, at=NOON + 3 * DAY)

    assert len(late) == 12
    assert sum(one.state == "late" for one in undone(house.site, at=NOON + 3 * DAY)) > 8


def test_a_duty_set_later_counts_from_then_though_others_were_raised_ahead(house: House) -> None:
    set_for(house)
    raised(house, until=NOON + 3 * DAY)

    set_for(house, title="Closing list", at=NOON + DAY / 2)
    new = raised(house, until=NOON + 3 * DAY, at=NOON + DAY / 2)

    assert {task.title for task in new} == {"Closing list"}
    assert [task.due_at.day for task in new] == [30, 31, 1]


def test_an_ended_duty_asks_no_more_and_what_was_raised_ahead_is_gone_from_the_day(
    house: House,
) -> None:
    duty = set_for(house)
    raised(house, until=NOON + 2 * DAY)
    end_duty(EndDuty(duty_id=duty.pk), by=house.mo, at=NOON + DAY)

    assert raised(house, until=NOON + 5 * DAY, at=NOON + 2 * DAY) == []
    assert len(tasks_of(house.site, date(2026, 3, 30), at=NOON + DAY)) == 1
    assert tasks_of(house.site, date(2026, 3, 31), at=NOON + DAY) == []


def test_what_goes_after_is_linked_to_the_turn_of_its_own_day(house: House) -> None:
    first = set_for(house, title="Calibrate", at=NOON)
    set_for(house, title="Read pH", at=NOON, goes_after_id=first.pk)
    again = raised(house, until=NOON + DAY)
    again += raised(house, until=NOON + 2 * DAY, at=NOON + DAY)

    calibrations = {task.due_at: task.pk for task in again if task.title == "Calibrate"}
    links = {task.due_at: task.goes_after_id for task in again if task.title == "Read pH"}

    assert len(links) == 2
    assert links == calibrations


def test_a_day_without_the_first_leaves_the_second_free(house: House) -> None:
    first = set_for(house, title="Calibrate", rule="FREQ=WEEKLY;BYDAY=WE")
    set_for(house, title="Read pH", goes_after_id=first.pk)

    (monday,) = raised(house, until=NOON + DAY)

    assert monday.goes_after is None


def test_a_missed_turn_is_called_missed_once_the_next_has_opened(house: House) -> None:
    set_for(house)
    raised(house, until=NOON + 3 * DAY)
    tuesday = NOON + 2 * DAY

    found = undone(house.site, at=tuesday)

    assert [(one.task.due_at.day, one.is_missed) for one in found] == [(30, True), (31, False)]
    answered(found[0].task, by=house.ana, at=tuesday, outcome="NOT_DONE", why_not="No time")
    assert len(undone(house.site, at=tuesday)) == 1


def test_a_wall_time_that_comes_twice_is_raised_once(house: House) -> None:
    eve = NOON.replace(month=10, day=24)
    set_for(house, at=eve, clock=time(1, 30))

    (night,) = raised(house, until=eve + DAY, at=eve)
    assert raised(house, until=eve + DAY, at=eve + DAY) == []

    assert night.due_at.astimezone(house.site.zone).isoformat() == "2026-10-25T01:30:00+01:00"
