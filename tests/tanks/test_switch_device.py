"""Everything off is a timed loan. The rules are the house's own; no outside source applies."""

from dataclasses import replace
from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse

from facility.commands.deliveries import InTheFuture
from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound
from tanks.commands import devices
from tanks.commands.devices import SwitchDevice, switch_device
from tanks.models import Device, Switch
from tanks.queries.devices import running
from tests.cast import NOON, House
from tests.tanks.estate import device_on, system_of

OFF = NOON + timedelta(hours=1)
BACK = NOON + timedelta(hours=48)
LATER = NOON + timedelta(hours=72)


@pytest.fixture
def device(house: House) -> Device:
    return device_on(house, system_of(house))


def asked(house: House, device: Device, **changes: object) -> SwitchDevice:
    command = SwitchDevice(
        id=uuid4(),
        device_id=device.pk,
        is_on=False,
        why="Seeding with a live culture",
        due_back_at=BACK,
        owner_id=house.ana.pk,
        happened_at=OFF,
    )
    return replace(command, **changes)  # type: ignore[arg-type]  # each test changes one column


def on_again(house: House, device: Device, **changes: object) -> SwitchDevice:
    fixed: dict[str, object] = {"is_on": True, "why": "", "due_back_at": None}
    return asked(house, device, **(fixed | {"happened_at": BACK} | changes))


def test_device_off_is_owed_back_until_it_is_on_again(house: House, device: Device) -> None:
    switch_device(asked(house, device), by=house.ana, at=LATER)
    switch_device(on_again(house, device, happened_at=LATER), by=house.ana, at=LATER)

    def told(hours: int) -> tuple[bool, bool]:
        (found,) = running([device.vessel_id], at=NOON + timedelta(hours=hours))
        return found.is_on, found.is_overdue

    assert [told(hours) for hours in (0, 1, 47, 48, 72)] == [
        (True, False),
        (False, False),
        (False, False),
        (False, True),
        (True, False),
    ]
    assert Entry.objects.filter(kind="tanks.switch-device").count() == 2


def test_loan_can_be_made_longer_by_another(house: House, device: Device) -> None:
    switch_device(asked(house, device), by=house.ana, at=LATER)
    longer = asked(house, device, happened_at=BACK, due_back_at=LATER)

    switch_device(longer, by=house.ana, at=LATER)

    (found,) = running([device.vessel_id], at=BACK)
    assert (found.is_on, found.is_overdue) == (False, False)


def test_delivered_twice_is_switched_once(house: House, device: Device) -> None:
    command = asked(house, device)

    first = switch_device(command, by=house.ana, at=LATER)
    again = switch_device(command, by=house.ana, at=LATER)

    assert first == again
    assert Entry.objects.filter(kind="tanks.switch-device").count() == 1
    with pytest.raises(IdTaken):
        switch_device(replace(command, why="Other"), by=house.ana, at=LATER)


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"due_back_at": None}, devices.OffWithoutReturn),
        ({"due_back_at": OFF}, devices.OffWithoutReturn),
        ({"is_on": True}, devices.OnWithReturn),
        ({"why": " "}, devices.WhyMissing),
        ({"owner_id": uuid4()}, devices.UnknownOwner),
        ({"happened_at": NOON - timedelta(hours=1)}, devices.DeviceNotThere),
        ({"happened_at": LATER + timedelta(minutes=6)}, InTheFuture),
    ],
)
def test_loan_without_an_end_a_reason_or_an_owner_is_refused(
    house: House, device: Device, changes: dict[str, object], refusal: type[Exception]
) -> None:
    with pytest.raises(refusal):
        switch_device(asked(house, device, **changes), by=house.ana, at=LATER)
    assert not Switch.objects.exists()


def test_owner_works_at_the_site(house: House, device: Device) -> None:
    with pytest.raises(devices.UnknownOwner):
        switch_device(asked(house, device, owner_id=house.bo.pk), by=house.ana, at=LATER)


def test_stranger_finds_no_device_and_auditor_may_not(house: House, device: Device) -> None:
    with pytest.raises(NotFound):
        switch_device(asked(house, device), by=house.bo, at=LATER)
    with pytest.raises(NotAllowed):
        switch_device(asked(house, device), by=house.hale, at=LATER)


@pytest.mark.parametrize("due_back_at", [None, NOON - timedelta(hours=1)])
def test_database_refuses_off_without_an_end(
    house: House, device: Device, due_back_at: datetime | None
) -> None:
    with pytest.raises(IntegrityError, match="off_is_a_loan"), transaction.atomic():
        Switch.objects.create(
            device=device,
            is_on=False,
            why="",
            due_back_at=due_back_at,
            owner=house.ana,
            by=house.ana,
            happened_at=NOON,
            recorded_at=NOON,
        )


def test_sheet_without_a_time_to_be_back_is_shown_again(
    house: House, device: Device, client: Client
) -> None:
    client.force_login(house.ana)
    sent = {
        "id": str(uuid4()),
        "is_on": "off",
        "why": "Seeding",
        "owner": str(house.ana.pk),
        "happened_at": "2026-03-29T14:00",
    }
    url = reverse("tanks:switch-device", args=[device.pk])

    refused = client.post(url, sent)
    kept = client.post(url, sent | {"due_back_at": "2026-03-31T14:00"})

    assert refused.status_code == 422
    assert "everything off is on loan" in refused.content.decode()
    assert 'value="Seeding"' in refused.content.decode()
    assert kept.status_code == 303
    assert Switch.objects.get().due_back_at == NOON + timedelta(hours=49)


def test_only_those_who_work_on_the_tanks_are_offered_as_owners(
    house: House, device: Device, client: Client
) -> None:
    client.force_login(house.ana)

    page = client.get(reverse("tanks:switch-device", args=[device.pk]))

    assert set(page.context["form"].fields["owner"].queryset) == {house.ana, house.mo}
