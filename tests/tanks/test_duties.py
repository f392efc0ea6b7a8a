"""What the day asks of keepers. Daily tests and feeding are common practice, no source."""

from datetime import datetime, timedelta
from uuid import UUID, uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from facility.sockets.work import Due
from tanks.commands.cycles import start_cycle
from tanks.commands.devices import SwitchDevice, switch_device
from tanks.queries.duties import cycling_duties, device_duties
from tanks.sockets.stocking import StockingSource, stocking_sources
from tests.cast import NOON, House
from tests.tanks.estate import device_on, measured, vessel_of
from tests.tanks.proving import DAY, HOUR, Proving, proving, start_of


@pytest.fixture
def tank(house: House) -> Proving:
    return proving(house)


def due(tank: Proving, *, at: datetime) -> dict[str, Due]:
    """What is due, by the first part of its key."""
    found = cycling_duties(tank.house.site.pk, at)
    return {one.key.removeprefix("tanks.").partition(":")[0]: one for one in found}


def test_a_new_start_up_asks_for_its_tests_and_first_dose(tank: Proving) -> None:
    found = due(tank, at=NOON + HOUR)

    assert set(found) == {"test", "first-dose"}
    assert found["test"].title == "Read TAN, nitrite, pH, alkalinity and nitrate"
    assert found["test"].place == "Front room, A-01"
    assert found["test"].vessel_ids == {tank.vessel.pk}


def test_what_was_read_today_is_due_tomorrow(tank: Proving) -> None:
    for parameter, text in (("TAN", "2"), ("NITRITE", "<0.1"), ("PH", "8"), ("ALKALINITY", "3")):
        tank.read(parameter, text, at=NOON + HOUR)
    tank.read("NITRATE", "5", at=NOON + HOUR)
    tank.dose(at=NOON, purpose="AMMONIA")

    assert "test" not in due(tank, at=NOON + 2 * HOUR)
    # Lisbon is an hour ahead of UTC from this very morning on: its midnight is 23:00 UTC.
    assert "test" not in due(tank, at=NOON + 10.9 * HOUR)
    tomorrow = due(tank, at=NOON + 11 * HOUR)["test"]
    assert tomorrow.title == "Read TAN, nitrite and pH"
    assert tomorrow.due_at.isoformat() == "2026-03-30T18:00:00+01:00"
    two_days = due(tank, at=NOON + 2 * DAY)["test"]
    assert two_days.title == "Read TAN, nitrite, pH and alkalinity"


def test_low_ammonia_and_nitrite_ask_for_the_next_dose(tank: Proving) -> None:
    tank.dose(at=NOON, purpose="AMMONIA")
    tank.read("TAN", "<0.25", at=NOON + DAY)
    tank.read("NITRITE", "0.5", at=NOON + DAY)

    found = due(tank, at=NOON + DAY + HOUR)

    assert found["redose"].title == "Dose 2 mg/L-N of ammonia"
    tank.dose(at=NOON + DAY + 2 * HOUR, purpose="AMMONIA")
    assert "redose" not in due(tank, at=NOON + DAY + 3 * HOUR)


def test_a_challenge_asks_for_its_two_readings_and_no_meal(tank: Proving) -> None:
    tank.challenge(at=NOON)

    started = due(tank, at=NOON + HOUR)
    tank.read("TAN", "2.0", at=NOON + HOUR)
    next_day = due(tank, at=NOON + 20 * HOUR)

    assert started["challenge-start"].due_at == NOON + 2 * HOUR
    assert "challenge-end" not in started
    assert next_day["challenge-end"].due_at == NOON + 24 * HOUR
    assert not {"challenge-start", "redose"} & set(next_day)


def test_a_certified_water_is_kept_fed_until_it_is_stocked(tank: Proving) -> None:
    tank.certified(at=NOON)
    fed_at = NOON + 24 * HOUR + timedelta(minutes=5)
    at = NOON + 50 * HOUR

    found = due(tank, at=at)

    assert set(found) == {"keep-fed"}
    assert found["keep-fed"].due_at == fed_at + DAY
    assert "lapses on Thu 2 Apr 2026" in found["keep-fed"].why
    stocked = StockingSource("test", lambda ids: {tank.cycle.pk: at - HOUR} if ids else {})
    with stocking_sources.plugged(stocked):
        assert due(tank, at=at) == {}


def test_a_device_on_loan_is_due_back(house: House) -> None:
    vessel = vessel_of(house)
    device = device_on(house, vessel, name="UV 7")
    _turn(house, device.pk, on=False, at=NOON, back_at=NOON + 2 * DAY)

    assert list(device_duties(house.site.pk, NOON + DAY)) == []
    (back,) = device_duties(house.site.pk, NOON + 2 * DAY)
    assert (back.title, back.due_at) == ("Turn UV 7 on again", NOON + 2 * DAY)
    assert "Ana Quill" in back.why
    _turn(house, device.pk, on=True, at=NOON + 2 * DAY)
    assert list(device_duties(house.site.pk, NOON + 2 * DAY)) == []


def test_queries_do_not_grow_with_the_number_of_start_ups(house: House, tank: Proving) -> None:
    def count() -> int:
        with CaptureQueriesContext(connection) as captured:
            list(cycling_duties(house.site.pk, NOON + 2 * HOUR))
        return len(captured)

    tank.challenge(at=NOON)
    few = count()
    for number in range(10):
        vessel = vessel_of(house, code=f"D-{number}")
        measured(house, vessel, litres="400")
        start_cycle(start_of(vessel, tank.salt), by=house.ana, at=NOON)

    assert count() == few


def _turn(
    house: House, device_id: UUID, *, on: bool, at: datetime, back_at: datetime | None = None
) -> None:
    command = SwitchDevice(
        id=uuid4(),
        device_id=device_id,
        is_on=on,
        why="culture settles",
        due_back_at=back_at,
        owner_id=house.ana.pk,
        happened_at=at,
    )
    switch_device(command, by=house.ana, at=at)
