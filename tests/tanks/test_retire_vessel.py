"""Retiring a tank. The rules are the house's own; no outside source applies."""

from datetime import datetime, timedelta

import pytest
from django.db import IntegrityError, transaction

from facility.commands.deliveries import InTheFuture
from facility.models import Entry
from facility.refusals import NotAllowed, NotFound
from tanks.commands import vessels
from tanks.commands.vessels import RetireVessel, retire_vessel
from tanks.models import Vessel
from tanks.queries.waters import water_of, waters
from tests.cast import NOON, House
from tests.tanks.estate import closed, opened, system_of, vessel_of

EVENING = NOON + timedelta(hours=6)
LATER = NOON + timedelta(hours=9)


def retired(house: House, vessel: Vessel, *, at: datetime = EVENING) -> Vessel:
    command = RetireVessel(vessel_id=vessel.pk, happened_at=at)
    return retire_vessel(command, by=house.mo, at=LATER)


def test_retired_tank_leaves_the_estate_and_stays_on_record(house: House) -> None:
    tank = vessel_of(house)

    retired(house, tank)

    assert len(waters(house.site, at=EVENING - timedelta(microseconds=1))) == 1
    assert waters(house.site, at=EVENING) == []
    assert water_of(tank, at=LATER).members == (tank,)
    assert Entry.objects.get(kind="tanks.retire-vessel").happened_at == EVENING


def test_delivered_twice_is_retired_once(house: House) -> None:
    tank = vessel_of(house)

    retired(house, tank)
    retired(house, tank)

    assert Entry.objects.filter(kind="tanks.retire-vessel").count() == 1
    with pytest.raises(vessels.AlreadyRetired):
        retired(house, tank, at=EVENING + timedelta(hours=1))


def test_tank_or_system_with_an_open_valve_is_not_retired(house: House) -> None:
    tank, system = vessel_of(house), system_of(house)
    connection = opened(house, tank, system)

    for vessel in (tank, system):
        with pytest.raises(vessels.StillOpen, match="between A-01 and S-1 first"):
            retired(house, vessel)
    closed(house, connection, at=EVENING + timedelta(hours=1))
    with pytest.raises(vessels.StillOpen):
        retired(house, tank)
    assert retired(house, tank, at=EVENING + timedelta(hours=1)).retired_at is not None


@pytest.mark.parametrize(
    ("moment", "refusal"),
    [
        (NOON, vessels.RetiredBeforeOpened),
        (LATER + timedelta(minutes=6), InTheFuture),
    ],
)
def test_moment_must_be_past_and_after_the_beginning(
    house: House, moment: datetime, refusal: type[Exception]
) -> None:
    tank = vessel_of(house)

    with pytest.raises(refusal):
        retired(house, tank, at=moment)


def test_stranger_finds_no_tank_and_staff_may_not(house: House) -> None:
    command = RetireVessel(vessel_id=vessel_of(house).pk, happened_at=EVENING)

    with pytest.raises(NotFound):
        retire_vessel(command, by=house.bo, at=LATER)
    with pytest.raises(NotAllowed):
        retire_vessel(command, by=house.ana, at=LATER)


def test_database_keeps_every_tank(house: House) -> None:
    tank = vessel_of(house)

    with pytest.raises(IntegrityError, match="keeps what was written"), transaction.atomic():
        Vessel.objects.filter(pk=tank.pk)._raw_delete("default")


def test_database_refuses_an_end_before_the_beginning(house: House) -> None:
    tank = vessel_of(house)

    with pytest.raises(IntegrityError, match="retired_after_opened"), transaction.atomic():
        Vessel.objects.filter(pk=tank.pk).update(retired_at=NOON)
