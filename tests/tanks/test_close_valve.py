"""Closing a valve splits a water. The rules are the house's own; no outside source applies."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange
from django.test import Client
from django.urls import reverse

from facility.commands.deliveries import InTheFuture
from facility.models import Entry
from facility.refusals import NotAllowed, NotFound
from tanks.commands import connections
from tanks.commands.connections import CloseValve, close_valve
from tanks.models import Connection
from tanks.queries.waters import water_of
from tests.cast import NOON, House
from tests.tanks.estate import measured, opened, system_of, vessel_of

CLOSING = NOON + timedelta(hours=2)
LATER = NOON + timedelta(hours=3)
INSTANT = timedelta(microseconds=1)


@pytest.fixture
def connection(house: House) -> Connection:
    """A tank of 120 L open to a system of 300 L since noon."""
    tank, system = vessel_of(house), system_of(house)
    measured(house, tank, litres="120")
    measured(house, system, litres="300")
    return opened(house, tank, system)


def asked(connection: Connection) -> CloseValve:
    return CloseValve(connection_id=connection.pk, happened_at=CLOSING)


def test_closed_valve_splits_the_water_at_that_moment(house: House, connection: Connection) -> None:
    close_valve(asked(connection), by=house.ana, at=LATER)

    tank = connection.vessel
    assert water_of(tank, at=CLOSING - INSTANT).litres == 420
    assert water_of(tank, at=CLOSING).litres == 120
    assert water_of(connection.system, at=CLOSING).litres == 300
    line = Entry.objects.get(kind="tanks.close-valve")
    assert line.facts["rows"][0]["period"][1] == "2026-03-29T14:00:00.000000+00:00"


def test_delivered_twice_is_closed_once(house: House, connection: Connection) -> None:
    close_valve(asked(connection), by=house.mo, at=LATER)
    close_valve(asked(connection), by=house.mo, at=LATER)

    assert Entry.objects.filter(kind="tanks.close-valve").count() == 1


def test_closed_valve_is_not_closed_at_another_time(house: House, connection: Connection) -> None:
    close_valve(asked(connection), by=house.mo, at=LATER)

    with pytest.raises(connections.ValveClosed, match="29 March 2026, 15:00 already"):
        close_valve(
            CloseValve(connection_id=connection.pk, happened_at=LATER), by=house.mo, at=LATER
        )


@pytest.mark.parametrize("moment", [NOON, NOON - timedelta(days=1)])
def test_valve_is_not_closed_before_it_was_opened(
    house: House, connection: Connection, moment: object
) -> None:
    command = CloseValve(connection_id=connection.pk, happened_at=moment)  # type: ignore[arg-type]

    with pytest.raises(connections.ClosedBeforeOpened):
        close_valve(command, by=house.mo, at=LATER)


def test_future_closing_and_unknown_valves_are_refused(
    house: House, connection: Connection
) -> None:
    ahead = CloseValve(connection_id=connection.pk, happened_at=LATER + timedelta(minutes=6))

    with pytest.raises(InTheFuture):
        close_valve(ahead, by=house.mo, at=LATER)
    with pytest.raises(NotFound):
        close_valve(CloseValve(connection_id=uuid4(), happened_at=NOON), by=house.mo, at=LATER)


def test_stranger_finds_no_valve_and_auditor_may_not(house: House, connection: Connection) -> None:
    with pytest.raises(NotFound):
        close_valve(asked(connection), by=house.bo, at=LATER)
    with pytest.raises(NotAllowed):
        close_valve(asked(connection), by=house.hale, at=LATER)


@pytest.mark.parametrize(
    "changes",
    [
        {"valve": "another"},
        {"period": DateTimeTZRange(NOON - timedelta(days=1), CLOSING)},
        {"period": DateTimeTZRange(NOON + timedelta(hours=1), None)},
    ],
)
def test_database_lets_a_connection_only_end(
    house: House, connection: Connection, changes: dict[str, object]
) -> None:
    with pytest.raises(IntegrityError, match="can only be ended"), transaction.atomic():
        Connection.objects.filter(pk=connection.pk).update(**changes)


def test_database_ends_a_connection_once(house: House, connection: Connection) -> None:
    close_valve(asked(connection), by=house.mo, at=LATER)

    with pytest.raises(IntegrityError, match="can only be ended"), transaction.atomic():
        Connection.objects.filter(pk=connection.pk).update(period=DateTimeTZRange(NOON, LATER))


def test_page_says_what_closing_does_before_it_is_recorded(
    house: House, connection: Connection, client: Client
) -> None:
    client.force_login(house.ana)
    url = reverse("tanks:close-valve", args=[connection.pk])

    page = client.post(
        url,
        {"happened_at": "2026-03-29T15:00", "preview": "1"},
        headers={"HX-Request": "true"},
    )
    answer = client.post(url, {"happened_at": "2026-03-29T15:00"})

    assert "After it: A-01: 120 L net; S-1: 300 L net." in page.content.decode()
    assert answer.status_code == 303
    assert Connection.objects.get().period.upper == CLOSING
