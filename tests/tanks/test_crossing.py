"""Two people's entries that contradict one another are both kept, and both shown."""

from datetime import datetime, timedelta
from typing import Final
from uuid import UUID, uuid4

import pytest
from django.test import Client
from django.utils import timezone

from facility.models import Person
from tanks.commands.readings import CorrectReading, correct_reading, log_readings
from tanks.models import Method, Reading, Vessel
from tanks.queries.crossing import crossing_in
from tanks.queries.waters import water_of
from tanks.rules.crossing import Said, crossing
from tanks.rules.values import Interval
from tests.cast import NOON, House
from tests.tanks.estate import opened, system_of, vessel_of
from tests.tanks.samples import kit, sample, taken

ANA, MO = UUID(int=1), UUID(int=2)
MINUTE: Final = timedelta(minutes=1)


def said(
    low: float, high: float | None = None, *, by: UUID = ANA, minute: int = 0, of: str = "TAN"
) -> Said:
    top = low if high is None else high
    return Said(
        id=uuid4(),
        parameter=of,
        interval=Interval(low, top),
        by=by,
        at=NOON + minute * MINUTE,
    )


def test_two_people_ten_minutes_apart_who_read_differently_are_paired() -> None:
    first, second = said(0.5), said(1, by=MO, minute=10)

    assert crossing([second, first]) == [(first.id, second.id)]


@pytest.mark.parametrize(
    "other",
    [
        said(1, by=ANA, minute=3),
        said(1, by=MO, minute=11),
        said(1, by=MO, minute=3, of="NITRITE"),
        said(0.5, by=MO, minute=3),
        said(0.25, 1, by=MO, minute=3),
    ],
    ids=["the same person", "later", "another parameter", "the same value", "a range around it"],
)
def test_what_may_both_be_so_is_not(other: Said) -> None:
    assert crossing([said(0.5), other]) == []


@pytest.mark.django_db
def test_both_stand_on_the_page_of_every_tank_of_the_water(house: House, client: Client) -> None:
    now = timezone.now()
    tank, system = vessel_of(house), system_of(house)
    opened(house, tank, system)
    method = kit(house, "TAN")
    logged_by(house.ana, tank, method, "0.5", at=now - 9 * MINUTE)
    logged_by(house.mo, system, method, "1", at=now - 2 * MINUTE)
    client.force_login(house.ana)

    for vessel in (tank, system):
        page = client.get(f"/tanks/{vessel.pk}/").content.decode()
        assert "Both are kept." in page
        assert "Ana Quill read" in page

    assert Reading.objects.count() == 2


@pytest.mark.django_db
def test_once_the_wrong_one_is_corrected_nothing_crosses(house: House) -> None:
    tank, method = vessel_of(house), kit(house, "TAN")
    first = logged_by(house.ana, tank, method, "0.5", at=NOON)
    logged_by(house.mo, tank, method, "1", at=NOON + MINUTE)
    water = water_of(tank, at=NOON + 5 * MINUTE)
    (pair,) = crossing_in(water)
    command = CorrectReading(
        id=uuid4(),
        reading_id=first.pk,
        text="1",
        unit=method.unit,
        basis=method.basis,
        method_id=method.pk,
        reason="Misread the colour.",
    )

    correct_reading(command, by=house.ana, at=NOON + 6 * MINUTE)

    assert [row.by for row in pair] == [house.ana, house.mo]
    assert crossing_in(water) == []
    assert crossing_in(water_of(tank, at=NOON + timedelta(days=4))) == []


def logged_by(by: Person, vessel: Vessel, method: Method, text: str, *, at: datetime) -> Reading:
    reading = taken(method, text)
    command = sample(vessel, reading, at=at, confirmed=frozenset([reading.id]))
    return log_readings(command, by=by, at=max(at, NOON))[0]
