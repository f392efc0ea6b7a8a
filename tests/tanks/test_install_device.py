"""Putting in and taking out life support. The rules are the house's own; no source applies."""

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
from tanks.commands import devices
from tanks.commands.devices import InstallDevice, RemoveDevice, install_device, remove_device
from tanks.models import Device, Vessel
from tanks.queries.devices import running
from tests.cast import NOON, House
from tests.tanks.estate import device_on, system_of

LATER = NOON + timedelta(hours=3)


@pytest.fixture
def system(house: House) -> Vessel:
    return system_of(house)


def asked(system: Vessel, **changes: object) -> InstallDevice:
    command = InstallDevice(
        id=uuid4(),
        vessel_id=system.pk,
        kind="BIOFILTER",
        name="Moving bed",
        biofilter_area_m2=Decimal("95.00"),
        happened_at=NOON,
    )
    return replace(command, **changes)  # type: ignore[arg-type]  # each test changes one column


def test_device_runs_from_the_moment_it_is_in(house: House, system: Vessel) -> None:
    device = install_device(asked(system), by=house.mo, at=LATER)

    (found,) = running([system.pk], at=NOON)
    assert (found.device, found.is_on) == (device, True)
    assert running([system.pk], at=NOON - timedelta(microseconds=1)) == []
    assert Entry.objects.get(kind="tanks.install-device").about == f"tanks.vessel:{system.pk}"


def test_delivered_twice_is_one_device(house: House, system: Vessel) -> None:
    command = asked(system)

    first = install_device(command, by=house.mo, at=LATER)
    again = install_device(command, by=house.mo, at=LATER)

    assert first == again
    assert Entry.objects.filter(kind="tanks.install-device").count() == 1
    with pytest.raises(IdTaken):
        install_device(replace(command, name="Other"), by=house.mo, at=LATER)


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"kind": "BUBBLES"}, devices.UnknownDeviceKind),
        ({"kind": "UV"}, devices.BiofilterAreaUnfit),
        ({"biofilter_area_m2": Decimal(0)}, devices.BiofilterAreaUnfit),
        ({"happened_at": LATER + timedelta(minutes=6)}, InTheFuture),
    ],
)
def test_what_cannot_be_put_in_is_refused(
    house: House, system: Vessel, changes: dict[str, object], refusal: type[Exception]
) -> None:
    with pytest.raises(refusal):
        install_device(asked(system, **changes), by=house.mo, at=LATER)


def test_device_taken_out_is_gone_from_that_moment_on(house: House, system: Vessel) -> None:
    device = device_on(house, system)
    command = RemoveDevice(device_id=device.pk, happened_at=NOON + timedelta(hours=1))

    remove_device(command, by=house.mo, at=LATER)
    remove_device(command, by=house.mo, at=LATER)

    assert len(running([system.pk], at=NOON)) == 1
    assert running([system.pk], at=NOON + timedelta(hours=1)) == []
    assert Entry.objects.filter(kind="tanks.remove-device").count() == 1
    with pytest.raises(devices.DeviceNotThere, match="taken out on 29 March 2026, 14:00"):
        remove_device(RemoveDevice(device_id=device.pk, happened_at=LATER), by=house.mo, at=LATER)


def test_device_is_not_taken_out_before_it_was_put_in(house: House, system: Vessel) -> None:
    device = device_on(house, system)

    with pytest.raises(devices.DeviceNotThere, match="put in on"):
        remove_device(
            RemoveDevice(device_id=device.pk, happened_at=NOON - timedelta(hours=1)),
            by=house.mo,
            at=LATER,
        )


def test_stranger_finds_no_system_and_staff_may_not(house: House, system: Vessel) -> None:
    device = device_on(house, system)
    out = RemoveDevice(device_id=device.pk, happened_at=LATER)

    with pytest.raises(NotFound):
        install_device(asked(system), by=house.bo, at=LATER)
    with pytest.raises(NotAllowed):
        install_device(asked(system), by=house.ana, at=LATER)
    with pytest.raises(NotFound):
        remove_device(out, by=house.bo, at=LATER)
    with pytest.raises(NotAllowed):
        remove_device(out, by=house.ana, at=LATER)


def test_database_refuses_a_media_area_on_anything_but_a_biofilter(
    house: House, system: Vessel
) -> None:
    with pytest.raises(IntegrityError, match="area_of_biofilter"), transaction.atomic():
        Device.objects.create(
            vessel=system, kind="UV", name="UV", biofilter_area_m2=3, installed_at=NOON
        )


def test_sheet_puts_the_device_in(house: House, system: Vessel, client: Client) -> None:
    client.force_login(house.mo)
    sent = {
        "id": str(uuid4()),
        "kind": "BIOFILTER",
        "name": "Trickle tower",
        "biofilter_area_m2": "120.504",
        "happened_at": "2026-03-29T13:00",
    }

    url = reverse("tanks:install-device", args=[system.pk])
    answers = [client.post(url, sent).status_code for _ in range(2)]

    assert answers == [303, 303]
    assert Device.objects.get().biofilter_area_m2 == Decimal("120.50")
