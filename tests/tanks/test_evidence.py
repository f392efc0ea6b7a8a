"""What was recorded answers the task that asked for it, in the name of who recorded it."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest

from facility.commands.evidence import answer_by_evidence
from facility.models import Completion, Entry, Task
from facility.queries.proof import first_breach
from facility.queries.work import task_now
from facility.rules.tasks import proves
from tanks.commands.withdrawals import WithdrawEntry, withdraw_entry
from tanks.models import Method, Vessel
from tests.cast import NOON, House
from tests.facility.working import HOUR, answered, asked, raised, set_for
from tests.tanks.estate import opened, system_of, vessel_of
from tests.tanks.samples import kit, logged

pytestmark = pytest.mark.django_db

ASKS = {"deeds": ["tanks.log-readings"], "parameters": ["TAN", "NITRITE"]}


def key(vessel: Vessel) -> str:
    return f"tanks.vessel:{vessel.pk}"


def wanted(house: House, vessel: Vessel, **said: Any) -> Task:
    return asked(house, **{"kind": "TEST", "about": key(vessel), "asks": ASKS} | said)


def read(house: House, vessel: Vessel, *parameters: str) -> None:
    for parameter in parameters:
        logged(house, vessel, kit(house, parameter), "0.5")


def test_readings_anywhere_in_the_water_answer_the_test_of_its_system(house: House) -> None:
    system, tank = system_of(house), vessel_of(house)
    opened(house, tank, system)
    task = wanted(house, system)

    read(house, tank, "TAN")
    assert answer_by_evidence(key(tank), at=NOON + HOUR) == []
    read(house, tank, "NITRITE")
    (completion,) = answer_by_evidence(key(tank), at=NOON + HOUR)

    lines = Entry.objects.filter(kind="tanks.log-readings").order_by("number")
    assert completion.evidence == [f"facility.entry:{line.pk}" for line in lines]
    assert (completion.by, completion.outcome) == (lines[0].by, "DONE")
    assert task_now(task, at=NOON).state == "done"
    assert answer_by_evidence(key(tank), at=NOON + HOUR) == []
    assert first_breach(house.site) is None


def test_another_water_proves_nothing(house: House) -> None:
    here, there = vessel_of(house), vessel_of(house, code="A-02")
    task = wanted(house, here)

    read(house, there, "TAN", "NITRITE")

    assert answer_by_evidence(key(there), at=NOON) == []
    assert task_now(task, at=NOON).answer is None


def test_what_asks_for_this_very_tank_takes_no_neighbour(house: House) -> None:
    system, tank = system_of(house), vessel_of(house)
    opened(house, tank, system)
    wanted(house, tank, asks=ASKS | {"exactly": True})

    read(house, system, "TAN", "NITRITE")

    assert answer_by_evidence(key(system), at=NOON) == []


def test_a_withdrawn_entry_proves_nothing(house: House) -> None:
    tank = vessel_of(house)
    wanted(house, tank)
    read(house, tank, "TAN")
    reading = logged(house, tank, kit(house, "NITRITE"), "0.5")
    withdrawal = WithdrawEntry(
        id=uuid4(), model="tanks.reading", fact_id=reading.pk, reason="Another tank's."
    )
    withdraw_entry(withdrawal, by=house.ana, at=NOON)

    assert answer_by_evidence(key(tank), at=NOON) == []


def test_todays_reading_does_not_answer_yesterdays_turn(house: House) -> None:
    tank = vessel_of(house)
    set_for(house, kind="TEST", about=key(tank), asks=ASKS, at=NOON - timedelta(days=2))
    raised(house, until=NOON + timedelta(hours=12))
    read(house, tank, "TAN", "NITRITE")

    answer_by_evidence(key(tank), at=NOON)

    days = Completion.objects.values_list("task__due_at__day", flat=True)
    assert list(days) == [29]


def test_what_goes_after_waits_though_it_is_proven(house: House) -> None:
    tank = vessel_of(house)
    first = asked(house, title="Calibrate")
    wanted(house, tank, goes_after_id=first.pk)
    read(house, tank, "TAN", "NITRITE")

    assert answer_by_evidence(key(tank), at=NOON) == []
    answered(first, by=house.ana)
    assert len(answer_by_evidence(key(tank), at=NOON)) == 1


def test_who_lacks_the_skill_proves_nothing(house: House) -> None:
    tank = vessel_of(house)
    wanted(house, tank, skill="Photometer")
    read(house, tank, "TAN", "NITRITE")

    assert answer_by_evidence(key(tank), at=NOON) == []


def test_any_of_the_deeds_will_do_and_every_parameter_must() -> None:
    asks = {"deeds": ["a", "b"], "parameters": ["TAN", "PH"]}
    tan, ph = {"parameter": "TAN"}, {"parameter": "PH"}

    assert proves(asks, [("a", [tan]), ("b", [ph])])
    assert not proves(asks, [("a", [tan])])
    assert not proves(asks, [("c", [tan, ph])])
    assert proves({"deeds": ["a"]}, [("a", [{}])])
    assert not proves({}, [("a", [tan])])


def test_an_answer_whose_entry_is_withdrawn_is_taken_back_and_may_be_given_anew(
    house: House,
) -> None:
    tank = vessel_of(house)
    task = wanted(house, tank)
    read(house, tank, "TAN")
    reading = logged(house, tank, kit(house, "NITRITE"), "0.5")
    answer_by_evidence(key(tank), at=NOON)
    withdrawal = WithdrawEntry(
        id=uuid4(), model="tanks.reading", fact_id=reading.pk, reason="Another tank's."
    )
    withdraw_entry(withdrawal, by=house.ana, at=NOON)

    assert answer_by_evidence(key(tank), at=NOON) == []
    assert task_now(task, at=NOON).state == "open"
    logged(house, tank, Method.objects.get(parameter="NITRITE"), "0.4")
    (again,) = answer_by_evidence(key(tank), at=NOON)

    assert task_now(task, at=NOON).answer == again
    assert Completion.objects.filter(task=task).count() == 3
    assert answer_by_evidence(key(tank), at=NOON) == []
    assert first_breach(house.site) is None
