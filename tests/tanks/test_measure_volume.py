"""Keeping a net volume. 1 m³ is 1000 L and a US gallon 3.785411784 L, by definition."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse

from facility.commands.deliveries import InTheFuture
from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound
from tanks.commands import volumes
from tanks.commands.finding import VesselRetired
from tanks.commands.vessels import RetireVessel, retire_vessel
from tanks.commands.volumes import MeasureVolume, measure_volume
from tanks.models import Vessel, Volume
from tanks.queries.waters import water_of
from tests.cast import NOON, House
from tests.tanks.estate import measured, vessel_of

LATER = NOON + timedelta(hours=1)
METER = {"meter_before": "10.250", "meter_after": "10.371", "meter_unit": "m3"}


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house)


def asked(tank: Vessel, **changes: object) -> MeasureVolume:
    command = MeasureVolume(
        id=uuid4(), vessel_id=tank.pk, happened_at=NOON, means="METERED", basis=METER
    )
    return replace(command, **changes)  # type: ignore[arg-type]  # each test changes one column


def test_metered_fill_gives_the_litres_and_keeps_the_readings(house: House, tank: Vessel) -> None:
    volume = measure_volume(asked(tank), by=house.ana, at=LATER)

    assert volume.litres == Decimal("121.00")
    assert Volume.objects.get().basis == METER
    line = Entry.objects.get(kind="tanks.measure-volume")
    assert (line.about, line.by) == (f"tanks.vessel:{tank.pk}", house.ana)
    assert line.facts["rows"][0]["litres"] == "121.00"


def test_volume_holds_from_its_moment_on(house: House, tank: Vessel) -> None:
    measured(house, tank, litres="100")
    measured(house, tank, litres="90", at=LATER)

    def litres(moment: timedelta) -> float | None:
        return water_of(tank, at=NOON + moment).litres

    assert litres(-timedelta(microseconds=1)) is None
    assert litres(timedelta(0)) == 100
    assert litres(timedelta(minutes=59)) == 100
    assert litres(timedelta(hours=1)) == 90


def test_delivered_twice_is_kept_once(house: House, tank: Vessel) -> None:
    command = asked(tank)

    first = measure_volume(command, by=house.mo, at=LATER)
    again = measure_volume(command, by=house.mo, at=LATER)

    assert first == again
    assert Entry.objects.filter(kind="tanks.measure-volume").count() == 1


def test_same_id_with_other_readings_is_refused(house: House, tank: Vessel) -> None:
    command = asked(tank)
    measure_volume(command, by=house.mo, at=LATER)

    with pytest.raises(IdTaken):
        measure_volume(replace(command, basis={"litres": "5"}), by=house.mo, at=LATER)


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"basis": METER | {"meter_after": "10"}}, volumes.VolumeImpossible),
        ({"basis": {"litres": "0"}}, volumes.VolumeImpossible),
        ({"means": "GUESS"}, volumes.UnknownMeans),
        ({"happened_at": LATER + timedelta(minutes=6)}, InTheFuture),
    ],
)
def test_what_cannot_be_is_refused(
    house: House, tank: Vessel, changes: dict[str, object], refusal: type[Exception]
) -> None:
    with pytest.raises(refusal):
        measure_volume(asked(tank, **changes), by=house.mo, at=LATER)
    assert not Volume.objects.exists()


def test_retired_tank_is_not_measured_any_more(house: House, tank: Vessel) -> None:
    retire_vessel(
        RetireVessel(vessel_id=tank.pk, happened_at=NOON + timedelta(minutes=1)),
        by=house.mo,
        at=LATER,
    )

    with pytest.raises(VesselRetired):
        measure_volume(asked(tank, happened_at=LATER), by=house.mo, at=LATER)
    assert measure_volume(asked(tank), by=house.mo, at=LATER).litres == Decimal(121)


def test_stranger_finds_no_tank_and_auditor_may_not(house: House, tank: Vessel) -> None:
    with pytest.raises(NotFound):
        measure_volume(asked(tank), by=house.bo, at=LATER)
    with pytest.raises(NotAllowed):
        measure_volume(asked(tank), by=house.hale, at=LATER)


@pytest.mark.parametrize("sql", ["UPDATE tanks_volume SET litres = 1", "DELETE FROM tanks_volume"])
def test_database_keeps_what_was_measured(house: House, tank: Vessel, sql: str) -> None:
    from_builder = measured(house, tank, litres="100")

    with pytest.raises(IntegrityError, match="keeps what was written"), transaction.atomic():
        Volume.objects.raw(f"{sql} RETURNING *")[0]  # the code has no way to ask for this
    assert Volume.objects.get(pk=from_builder.pk).litres == 100


def test_database_refuses_a_volume_of_nothing(house: House, tank: Vessel) -> None:
    with pytest.raises(IntegrityError, match="tanks_volume_litres"), transaction.atomic():
        Volume.objects.create(
            vessel=tank,
            happened_at=NOON,
            recorded_at=NOON,
            by=house.mo,
            means="METERED",
            litres=0,
            basis={},
        )


def test_working_is_shown_and_nothing_kept(house: House, tank: Vessel, client: Client) -> None:
    client.force_login(house.ana)
    url = reverse("tanks:measure-volume", args=[tank.pk]) + "?by=cylinder"
    sent = {
        "id": str(uuid4()),
        "diameter_cm": "50",
        "depth_cm": "60",
        "happened_at": "2026-03-29T12:00",
    }

    page = client.post(url, sent | {"preview": "1"})

    # pi r2 h: 117.810 L
    assert page.status_code == 200
    assert "118" in page.content.decode()
    assert not Volume.objects.exists()


def test_sheet_keeps_the_volume(house: House, tank: Vessel, client: Client) -> None:
    client.force_login(house.ana)
    url = reverse("tanks:measure-volume", args=[tank.pk]) + "?by=metered"
    sent = {
        "id": str(uuid4()),
        "meter_before": "10,25",
        "meter_after": "10,37",
        "meter_unit": "m3",
        "happened_at": "2026-03-29T13:00",
    }

    answer = client.post(url, sent)

    assert answer.status_code == 303
    volume = Volume.objects.get()
    assert volume.litres == Decimal("120.00")
    assert volume.happened_at == NOON  # 13:00 on the wall in Lisbon, an hour ahead by then


def test_refused_sheet_keeps_what_was_typed(house: House, tank: Vessel, client: Client) -> None:
    client.force_login(house.ana)
    url = reverse("tanks:measure-volume", args=[tank.pk]) + "?by=metered"
    sent = {"id": str(uuid4()), "meter_before": "371", "meter_after": "250", "meter_unit": "L"}

    answer = client.post(url, sent | {"happened_at": "2026-03-29T12:00"})

    assert answer.status_code == 422
    page = answer.content.decode()
    assert "The meter must read more after filling than before." in page
    assert 'value="371"' in page
