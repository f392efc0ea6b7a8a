"""Opening a valve joins two waters. The rules are the house's own; no outside source applies."""

from dataclasses import replace
from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange
from django.test import Client
from django.urls import reverse

from facility.commands.deliveries import InTheFuture
from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound
from tanks.commands import connections
from tanks.commands.connections import OpenValve, open_valve
from tanks.commands.finding import VesselRetired
from tanks.commands.vessels import RetireVessel, retire_vessel
from tanks.models import Connection, Vessel
from tanks.queries.waters import water_of, waters
from tests.cast import NOON, House
from tests.tanks.estate import closed, measured, opened, system_of, vessel_of

LATER = NOON + timedelta(hours=3)


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house)


@pytest.fixture
def system(house: House) -> Vessel:
    return system_of(house)


def asked(tank: Vessel, system: Vessel, **changes: object) -> OpenValve:
    command = OpenValve(
        id=uuid4(), vessel_id=tank.pk, system_id=system.pk, valve="V-1", happened_at=NOON
    )
    return replace(command, **changes)  # type: ignore[arg-type]  # each test changes one column


def test_open_valve_makes_one_water_of_two(house: House, tank: Vessel, system: Vessel) -> None:
    measured(house, tank, litres="120")
    measured(house, system, litres="300")

    open_valve(asked(tank, system), by=house.ana, at=LATER)

    before = water_of(tank, at=NOON - timedelta(microseconds=1))
    water = water_of(tank, at=NOON)
    assert before.members == (tank,)
    assert (water.members, water.litres) == ((system, tank), 420)
    assert water.anchor == system
    line = Entry.objects.get(kind="tanks.open-valve")
    assert line.about == f"tanks.vessel:{tank.pk}"
    assert line.facts["rows"][0]["period"] == ["2026-03-29T12:00:00.000000+00:00", None]


def test_water_with_an_unmeasured_member_has_no_volume(
    house: House, tank: Vessel, system: Vessel
) -> None:
    measured(house, system, litres="300")

    opened(house, tank, system)

    water = water_of(system, at=NOON)
    assert (water.litres, water.unmeasured) == (None, (tank,))


def test_chain_of_systems_is_one_water(house: House, tank: Vessel, system: Vessel) -> None:
    other = system_of(house, code="S-2")
    opened(house, tank, system)
    opened(house, system, other)
    opened(house, other, system)  # a loop does no harm

    (water,) = waters(house.site, at=NOON)

    assert water.member_ids == {tank.pk, system.pk, other.pk}


def test_delivered_twice_is_opened_once(house: House, tank: Vessel, system: Vessel) -> None:
    command = asked(tank, system)

    first = open_valve(command, by=house.mo, at=LATER)
    again = open_valve(command, by=house.mo, at=LATER)

    assert first == again
    assert Entry.objects.filter(kind="tanks.open-valve").count() == 1


@pytest.mark.parametrize("changes", [{"valve": "V-2"}, {"happened_at": NOON + timedelta(hours=1)}])
def test_same_id_with_other_content_is_refused(
    house: House, tank: Vessel, system: Vessel, changes: dict[str, object]
) -> None:
    command = asked(tank, system)
    open_valve(command, by=house.mo, at=LATER)

    with pytest.raises(IdTaken):
        open_valve(replace(command, **changes), by=house.mo, at=LATER)  # type: ignore[arg-type]


def test_valve_that_is_open_names_the_system_and_since_when(
    house: House, tank: Vessel, system: Vessel
) -> None:
    opened(house, tank, system)

    with pytest.raises(connections.ValveOpen) as refusal:
        open_valve(asked(tank, system, happened_at=LATER), by=house.mo, at=LATER)

    assert refusal.value.sentence == (
        "A-01 is open to S-1 since 29 March 2026, 13:00; close it first."
    )


def test_valve_is_not_opened_into_a_later_period(
    house: House, tank: Vessel, system: Vessel
) -> None:
    later = opened(house, tank, system, at=NOON + timedelta(hours=1))
    closed(house, later, at=NOON + timedelta(hours=2))

    with pytest.raises(connections.ValveOpen, match="until 29 March 2026, 15:00"):
        open_valve(asked(tank, system), by=house.mo, at=LATER)
    reopened = open_valve(
        asked(tank, system, happened_at=NOON + timedelta(hours=2)), by=house.mo, at=LATER
    )
    assert reopened.period.lower == NOON + timedelta(hours=2)


def test_what_cannot_be_connected_is_refused(house: House, tank: Vessel, system: Vessel) -> None:
    neighbour = vessel_of(house, code="A-02")

    with pytest.raises(connections.ConnectedToItself):
        open_valve(asked(system, system), by=house.mo, at=LATER)
    with pytest.raises(connections.NotASystem):
        open_valve(asked(tank, neighbour), by=house.mo, at=LATER)
    with pytest.raises(NotFound):
        open_valve(asked(tank, system, system_id=uuid4()), by=house.mo, at=LATER)
    ahead = asked(tank, system, happened_at=LATER + timedelta(minutes=6))
    with pytest.raises(InTheFuture):
        open_valve(ahead, by=house.mo, at=LATER)


def test_retired_system_is_not_opened_to(house: House, tank: Vessel, system: Vessel) -> None:
    command = RetireVessel(vessel_id=system.pk, happened_at=NOON + timedelta(minutes=1))
    retire_vessel(command, by=house.mo, at=LATER)

    with pytest.raises(VesselRetired):
        open_valve(asked(tank, system), by=house.mo, at=LATER)


def test_stranger_finds_no_tank_and_auditor_may_not(
    house: House, tank: Vessel, system: Vessel
) -> None:
    with pytest.raises(NotFound):
        open_valve(asked(tank, system), by=house.bo, at=LATER)
    with pytest.raises(NotAllowed):
        open_valve(asked(tank, system), by=house.hale, at=LATER)


def test_database_refuses_one_tank_in_two_waters(
    house: House, tank: Vessel, system: Vessel
) -> None:
    other = system_of(house, code="S-2")
    opened(house, tank, system)

    overlap = DateTimeTZRange(NOON - timedelta(days=1), NOON + timedelta(microseconds=1))
    with pytest.raises(IntegrityError, match="one_at_a_time"), transaction.atomic():
        Connection.objects.create(id=uuid4(), vessel=tank, system=other, period=overlap)


def test_database_lets_a_period_end_where_the_next_begins(
    house: House, tank: Vessel, system: Vessel
) -> None:
    opened(house, tank, system)

    until = DateTimeTZRange(NOON - timedelta(days=1), NOON)
    Connection.objects.create(id=uuid4(), vessel=tank, system=system, period=until)

    assert Connection.objects.count() == 2


@pytest.mark.parametrize(
    ("period", "constraint"),
    [
        (DateTimeTZRange(None, NOON), "tanks_connection_begins"),
        (DateTimeTZRange(NOON, NOON), "tanks_connection_begins"),
    ],
)
def test_database_refuses_a_period_that_never_begins(
    house: House, tank: Vessel, system: Vessel, period: DateTimeTZRange, constraint: str
) -> None:
    with pytest.raises(IntegrityError, match=constraint), transaction.atomic():
        Connection.objects.create(id=uuid4(), vessel=tank, system=system, period=period)


def test_database_refuses_a_system_connected_to_itself(house: House, system: Vessel) -> None:
    with pytest.raises(IntegrityError, match="not_to_itself"), transaction.atomic():
        Connection.objects.create(
            id=uuid4(), vessel=system, system=system, period=DateTimeTZRange(NOON, None)
        )


def test_page_says_what_opening_does_before_it_is_recorded(
    house: House, tank: Vessel, system: Vessel, client: Client
) -> None:
    measured(house, tank, litres="120")
    measured(house, system, litres="300")
    client.force_login(house.ana)
    url = reverse("tanks:open-valve", args=[tank.pk])
    sent = {"id": str(uuid4()), "system": str(system.pk), "happened_at": "2026-03-29T14:00"}

    page = client.post(url, sent | {"preview": "1"}, headers={"HX-Request": "true"})
    answer = client.post(url, sent)

    assert "Opening joins A-01 and S-1 into one water: 420 L net." in page.content.decode()
    assert answer.status_code == 303
    assert Connection.objects.get().period.lower == NOON + timedelta(hours=1)


def test_page_is_not_shown_to_strangers_or_auditors(
    house: House, tank: Vessel, client: Client
) -> None:
    url = reverse("tanks:open-valve", args=[tank.pk])

    assert client.get(url).status_code == 302
    client.force_login(house.bo)
    assert client.get(url).status_code == 404
    client.force_login(house.hale)
    assert client.get(url).status_code == 403


def test_shut_off_tank_is_offered_its_own_system_again(
    house: House, tank: Vessel, system: Vessel, client: Client
) -> None:
    first = system_of(house, code="A-0")
    opened_here = opened(house, tank, system, valve="V7")
    closed(house, opened_here, at=NOON + timedelta(hours=1))
    client.force_login(house.ana)

    form = client.get(reverse("tanks:open-valve", args=[tank.pk])).context["form"]
    page = client.get(reverse("tanks:tank", args=[tank.pk])).content.decode()

    assert first in form.fields["system"].queryset
    assert (form["system"].value(), form["valve"].value()) == (system.pk, "V7")
    assert f">{system.code}</a> since" in page
    assert "valve V7" in page
