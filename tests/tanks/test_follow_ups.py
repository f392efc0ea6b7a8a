"""What an event makes necessary is asked for once, by the house."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest

from facility.commands.follow_ups import RaiseFollowUps, raise_follow_ups
from facility.models import Entry, Task
from facility.queries.proof import first_breach
from facility.sockets.deeds import deeds
from facility.sockets.follow_ups import follow_ups
from tanks.commands.incidents import LogIncident, log_incident
from tests.cast import NOON, House
from tests.quarantine.ready import AT, ready, stocked
from tests.tanks.estate import opened, system_of, vessel_of

pytestmark = pytest.mark.django_db


def follow(entry: Entry) -> list[Task]:
    return raise_follow_ups(RaiseFollowUps(entry_id=entry.pk), by=None, at=NOON)


def mishap(house: House, kind: str) -> Entry:
    command = LogIncident(
        id=uuid4(),
        vessel_id=vessel_of(house).pk,
        kind=kind,
        lasted_h=Decimal(3),
        note="Fuse",
        happened_at=NOON,
    )
    log_incident(command, by=house.ana, at=NOON)
    return Entry.objects.latest("pk")


def test_a_power_loss_is_followed_by_a_restart_and_three_days_of_tests(house: House) -> None:
    tasks = follow(mishap(house, "POWER_LOSS"))

    due = [(task.kind, (task.due_at - NOON).days) for task in tasks]
    assert due == [("FOLLOW_UP", 0), ("TEST", 1), ("TEST", 2), ("TEST", 3)]
    assert tasks[1].title == "Read TAN and nitrite of A-01 after the power loss"
    assert tasks[1].asks["parameters"] == ["TAN", "NITRITE"]
    assert first_breach(house.site) is None


def test_asked_twice_it_is_raised_once(house: House) -> None:
    entry = mishap(house, "DISINFECTANT")

    assert len(follow(entry)) == 3
    assert follow(entry) == []
    assert Entry.objects.filter(kind="facility.raise-follow-ups").count() == 1


def test_what_is_no_such_event_is_followed_by_nothing(house: House) -> None:
    assert follow(mishap(house, "OTHER")) == []


def test_a_new_connection_asks_for_a_test_of_the_water(house: House) -> None:
    opened(house, vessel_of(house), system_of(house))

    (task,) = follow(Entry.objects.latest("pk"))

    assert task.due_at - NOON == timedelta(days=1)


def test_animals_that_came_in_are_followed_on_the_tank_of_the_start_up(house: House) -> None:
    told = ready(house)
    stocked(told)
    tasks = follow(Entry.objects.filter(kind="quarantine.record-stocking").latest("pk"))

    assert {task.about for task in tasks} == {f"tanks.vessel:{told.vessel.pk}"}
    assert sorted((task.due_at - AT).days for task in tasks) == [1, 1, 2, 3, 7]


def test_every_follow_up_follows_a_deed_and_says_where_its_days_are_from() -> None:
    assert {one.of for one in follow_ups} <= {deed.name for deed in deeds}
    assert {one.source for one in follow_ups} == {"common practice, no source"}
