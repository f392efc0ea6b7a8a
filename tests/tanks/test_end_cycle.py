"""End a start-up: once, stocked only under a certificate in force."""

from datetime import datetime

import pytest
from django.db import Error, connection, transaction

from facility.models import Entry
from facility.refusals import NotAllowed, NotFound
from tanks.commands.cycles import (
    CycleEnded,
    EndBeforeStart,
    EndCycle,
    NothingProven,
    UnknownOutcome,
    end_cycle,
    start_cycle,
)
from tanks.models import Cycle
from tests.cast import NOON, House
from tests.tanks.proving import DAY, HOUR, Proving, proving, start_of


@pytest.fixture
def tank(house: House) -> Proving:
    return proving(house)


def ending(tank: Proving, outcome: str, *, at: datetime) -> EndCycle:
    return EndCycle(cycle_id=tank.cycle.pk, outcome=outcome, happened_at=at)


def test_given_up_is_ended_once_and_another_may_begin(tank: Proving) -> None:
    command = ending(tank, "GIVEN_UP", at=NOON + DAY)

    cycle = end_cycle(command, by=tank.house.ana, at=NOON + DAY)
    end_cycle(command, by=tank.house.ana, at=NOON + DAY)

    assert (cycle.ended_at, cycle.outcome) == (NOON + DAY, "GIVEN_UP")
    assert Entry.objects.filter(kind="tanks.end-cycle").count() == 1
    start_cycle(
        start_of(tank.vessel, tank.salt, happened_at=NOON + 2 * DAY),
        by=tank.house.ana,
        at=NOON + 2 * DAY,
    )


def test_stocked_needs_a_certified_feed_in_force(tank: Proving) -> None:
    with pytest.raises(NothingProven):
        end_cycle(ending(tank, "STOCKED", at=NOON + HOUR), by=tank.house.ana, at=NOON + HOUR)

    tank.certified(at=NOON)
    stocked = ending(tank, "STOCKED", at=NOON + 50 * HOUR)
    assert end_cycle(stocked, by=tank.house.ana, at=NOON + 50 * HOUR).outcome == "STOCKED"


def test_a_lapsed_certificate_does_not_open_the_water(tank: Proving) -> None:
    tank.certified(at=NOON)

    with pytest.raises(NothingProven):
        end_cycle(ending(tank, "STOCKED", at=NOON + 9 * DAY), by=tank.house.ana, at=NOON + 9 * DAY)


def test_an_end_is_not_moved(tank: Proving) -> None:
    end_cycle(ending(tank, "GIVEN_UP", at=NOON + DAY), by=tank.house.ana, at=NOON + DAY)

    with pytest.raises(CycleEnded):
        end_cycle(ending(tank, "GIVEN_UP", at=NOON + HOUR), by=tank.house.ana, at=NOON + DAY)
    with pytest.raises(Error, match="only be ended, once"), transaction.atomic():
        connection.cursor().execute("UPDATE tanks_cycle SET ended_at = NULL, outcome = ''")


def test_refusals(tank: Proving) -> None:
    with pytest.raises(UnknownOutcome):
        end_cycle(ending(tank, "DONE", at=NOON), by=tank.house.ana, at=NOON)
    with pytest.raises(EndBeforeStart):
        end_cycle(ending(tank, "GIVEN_UP", at=NOON - HOUR), by=tank.house.ana, at=NOON)
    with pytest.raises(NotFound):
        end_cycle(ending(tank, "GIVEN_UP", at=NOON), by=tank.house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        end_cycle(ending(tank, "GIVEN_UP", at=NOON), by=tank.house.hale, at=NOON)
    assert Cycle.objects.get().ended_at is None
