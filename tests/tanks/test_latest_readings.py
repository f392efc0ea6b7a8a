"""The latest reading of a water: of all that mixes, and only while it mixed."""

from datetime import timedelta
from uuid import UUID, uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tanks.models import Reading
from tanks.queries.readings import history, latest_before, latest_in, latest_in_waters
from tanks.queries.waters import spans_of, water_of, waters
from tests.cast import NOON, House
from tests.tanks.estate import closed, opened, system_of, vessel_of
from tests.tanks.samples import kit, logged

HOUR = timedelta(hours=1)
DAY = timedelta(days=1)


def texts(found: dict[str, Reading]) -> dict[str, str]:
    return {name: reading.as_entered for name, reading in found.items()}


def test_it_is_the_latest_of_any_member(house: House) -> None:
    system, tank = system_of(house, at=NOON - DAY), vessel_of(house, at=NOON - DAY)
    opened(house, tank, system, at=NOON - DAY)
    ph, tan = kit(house, "PH"), kit(house, "TAN")
    logged(house, system, ph, "7.8", at=NOON - 3 * HOUR)
    logged(house, tank, ph, "7.9", at=NOON - 2 * HOUR)
    logged(house, tank, tan, "<0.25", at=NOON - 9 * HOUR)

    for member in (system, tank):
        found = latest_in(water_of(member, at=NOON))
        assert texts(found) == {"PH": "7.9", "TAN": "<0.25"}


def test_a_reading_belongs_to_the_water_of_its_moment(house: House) -> None:
    system, tank = system_of(house, at=NOON - 9 * DAY), vessel_of(house, at=NOON - 9 * DAY)
    ph = kit(house, "PH")
    valve = opened(house, tank, system, at=NOON - 5 * DAY)
    logged(house, system, ph, "8.0", at=NOON - 4 * DAY)
    closed(house, valve, at=NOON - 3 * DAY)
    logged(house, tank, ph, "7.0", at=NOON - 2 * DAY)

    assert texts(latest_in(water_of(system, at=NOON - DAY))) == {"PH": "8.0"}
    assert texts(latest_in(water_of(tank, at=NOON - DAY))) == {"PH": "7.0"}
    # While it was shut, and before it was read by itself, the system's is the tank's latest.
    assert texts(latest_in(water_of(tank, at=NOON - 2.5 * DAY))) == {"PH": "8.0"}
    opened(house, tank, system, at=NOON - HOUR)
    # Opened again, the tank's own water of those days still says nothing about the system's.
    assert texts(latest_in(water_of(system, at=NOON))) == {"PH": "8.0"}


def test_a_past_moment_sees_nothing_later(house: House) -> None:
    tank, ph = vessel_of(house, at=NOON - DAY), kit(house, "PH")
    logged(house, tank, ph, "7.8", at=NOON - 2 * HOUR)
    logged(house, tank, ph, "7.9", at=NOON - HOUR)

    assert texts(latest_in(water_of(tank, at=NOON - HOUR))) == {"PH": "7.9"}
    assert texts(latest_before(tank, at=NOON - HOUR)) == {"PH": "7.8"}
    assert latest_in(water_of(tank, at=NOON - 3 * HOUR)) == {}


def test_of_two_at_one_moment_the_one_entered_later_counts(house: House) -> None:
    tank, ph = vessel_of(house, at=NOON - DAY), kit(house, "PH")
    first = logged(house, tank, ph, "7.8", at=NOON - HOUR)
    Reading.objects.bulk_create(
        [_copy(first, as_entered="7.6", value="7.6", recorded_at=NOON + HOUR)]
    )

    assert texts(latest_in(water_of(tank, at=NOON))) == {"PH": "7.6"}


def test_history_is_what_stands_in_order_of_time(house: House) -> None:
    tank, ph = vessel_of(house, at=NOON - DAY), kit(house, "PH")
    for hours, text in ((1, "7.6"), (3, "7.8"), (2, "7.7")):
        logged(house, tank, ph, text, at=NOON - hours * HOUR)

    rows = history(spans_of(tank, since=NOON - DAY, until=NOON))

    assert [row.as_entered for row in rows] == ["7.8", "7.7", "7.6"]


@pytest.mark.parametrize("count", [2, 12])
def test_many_waters_cost_no_more_queries_than_two(house: House, count: int) -> None:
    ph = kit(house, "PH")
    for number in range(count):
        tank = vessel_of(house, code=f"T-{number}", at=NOON - DAY)
        logged(house, tank, ph, "7.8", at=NOON - HOUR)
    found = waters(house.site, at=NOON)

    with CaptureQueriesContext(connection) as queries:
        latest = latest_in_waters(found)
        _ = [reading.by.full_name + reading.method.name for reading in _all(latest)]

    assert len(latest) == count
    assert len(queries) == 5


def _all(latest: dict[UUID, dict[str, Reading]]) -> list[Reading]:
    return [reading for found in latest.values() for reading in found.values()]


def _copy(reading: Reading, **changes: object) -> Reading:
    row = Reading.objects.get(pk=reading.pk)
    row.pk = uuid4()
    for column, value in changes.items():
        setattr(row, column, value)
    return row
