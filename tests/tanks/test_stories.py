"""A start-up's story holds what befell its water, wherever a member stood, and nothing else."""

from decimal import Decimal
from uuid import uuid4

import pytest

from tanks.commands.cycles import EndCycle, end_cycle
from tanks.commands.withdrawals import WithdrawEntry, withdraw_entry
from tanks.queries.cycles import course, courses, open_cycle_in, open_cycle_of, open_cycles_in
from tanks.queries.stories import is_standing, stories, story
from tanks.queries.waters import water_of, waters
from tests.cast import NOON, House
from tests.tanks.estate import closed, measured, opened, system_of
from tests.tanks.proving import DAY, HOUR, Proving, proving
from tests.tanks.samples import logged


@pytest.fixture
def tank(house: House) -> Proving:
    return proving(house)


def test_a_member_counts_while_it_shares_the_water(house: House, tank: Proving) -> None:
    system = system_of(house)
    measured(house, system, litres="100")
    method = tank.method("TAN")
    before = logged(house, system, method, "9", at=NOON)
    connection = opened(house, tank.vessel, system, at=NOON + HOUR)
    shared = logged(house, system, method, "2", at=NOON + 2 * HOUR)
    closed(house, connection, at=NOON + 3 * HOUR)
    after = logged(house, system, method, "1", at=NOON + 4 * HOUR)

    told = story(tank.cycle, at=NOON + DAY)

    assert list(told.readings) == [shared]
    assert {before, after}.isdisjoint(told.readings)
    assert [len(span.members) for span in told.spans] == [1, 2, 1]
    assert told.litres_at(NOON + 2 * HOUR) == 500.0
    assert told.litres_at(NOON + 4 * HOUR) == 400.0


def test_corrected_and_withdrawn_rows_stay_in_the_story(house: House, tank: Proving) -> None:
    reading = tank.read("TAN", "2.0", at=NOON)
    command = WithdrawEntry(
        id=uuid4(), model="tanks.reading", fact_id=reading.pk, reason="wrong tank"
    )
    withdraw_entry(command, by=house.ana, at=NOON + HOUR)

    told = story(tank.cycle, at=NOON + DAY)

    assert len(told.readings) == 2
    assert not any(is_standing(row) for row in told.readings)
    assert [row.reason for row in told.readings] == ["", "wrong tank"]


def test_facts_come_in_order_of_time(tank: Proving) -> None:
    tank.certified(at=NOON)

    told = story(tank.cycle, at=NOON + 50 * HOUR)
    moments = [fact.happened_at for fact in told.facts()]

    assert moments == sorted(moments)
    assert len(told.verdicts) == len(told.challenges) == 2
    assert len(told.certificates) == 1


def test_an_ended_start_up_ends_its_story(house: House, tank: Proving) -> None:
    command = EndCycle(cycle_id=tank.cycle.pk, outcome="GIVEN_UP", happened_at=NOON + HOUR)
    cycle = end_cycle(command, by=house.ana, at=NOON + HOUR)
    logged(house, tank.vessel, tank.method("TAN"), "2", at=NOON + DAY)

    told = story(cycle, at=NOON + 2 * DAY)

    assert told.until == NOON + HOUR
    assert told.readings == ()
    assert courses(house.site, at=NOON + DAY) == []
    assert len(courses(house.site, at=NOON + 0.5 * HOUR)) == 1


def test_a_stocked_start_up_keeps_the_certificate_it_was_stocked_under(
    house: House, tank: Proving
) -> None:
    tank.certified(at=NOON)
    command = EndCycle(cycle_id=tank.cycle.pk, outcome="STOCKED", happened_at=NOON + 50 * HOUR)
    cycle = end_cycle(command, by=house.ana, at=NOON + 50 * HOUR)

    assert course(cycle, at=NOON + 90 * DAY).is_certified


def test_the_start_up_of_a_water_is_found_from_any_member(house: House, tank: Proving) -> None:
    system = system_of(house)
    measured(house, system, litres="100")
    opened(house, tank.vessel, system, at=NOON)
    at = NOON + HOUR

    water = water_of(system, at=at)

    assert open_cycle_of(system, at=at) == tank.cycle
    assert open_cycle_in(water) == tank.cycle
    assert open_cycles_in(waters(house.site, at=at)) == {water.anchor.pk: tank.cycle}
    assert stories([], at=at) == {}
    assert open_cycles_in([]) == {}


def test_a_course_plans_in_the_litres_of_today(house: House, tank: Proving) -> None:
    plan = course(tank.cycle, at=NOON + HOUR).plan()

    assert plan is not None
    assert plan.first_dose.grams == Decimal("3.05")
    assert course(tank.cycle, at=NOON + HOUR).stage.code == "preparing"
    checklist = course(tank.cycle, at=NOON + HOUR).preparation()
    assert {one.code: one.state for one in checklist}["chlorine-absent"] == "unknown"
