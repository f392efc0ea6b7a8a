"""Life support on a vessel: put in, taken out, turned off as a timed loan, turned on again."""

from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final
from uuid import UUID

from django.db import models, transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past, take_turn
from facility.models import Person
from facility.queries import people
from facility.refusals import NotFound, Refusal
from tanks.commands.finding import require_in_use, vessel_for
from tanks.models import Device, Switch, Vessel

_LEAST_AREA_M2: Final = Decimal("0.01")
_MOST_AREA_M2: Final = Decimal(100_000)


class UnknownDeviceKind(Refusal):
    code = "unknown-device-kind"
    field = "kind"


class BiofilterAreaUnfit(Refusal):
    code = "biofilter-area-unfit"
    field = "biofilter_area_m2"


class DeviceNotThere(Refusal):
    code = "device-not-there"
    field = "happened_at"


class OffWithoutReturn(Refusal):
    code = "off-without-return"
    field = "due_back_at"


class OnWithReturn(Refusal):
    code = "on-with-return"
    field = "due_back_at"


class WhyMissing(Refusal):
    code = "why-missing"
    field = "why"


class UnknownOwner(Refusal):
    code = "unknown-owner"
    field = "owner_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class InstallDevice:
    id: UUID
    vessel_id: UUID
    kind: str
    name: str
    biofilter_area_m2: Decimal | None
    happened_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class RemoveDevice:
    device_id: UUID
    happened_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class SwitchDevice:
    """Off is a loan: ``due_back_at`` says until when, ``owner_id`` who turns it on again."""

    id: UUID
    device_id: UUID
    is_on: bool
    why: str
    due_back_at: datetime | None
    owner_id: UUID
    happened_at: datetime


@transaction.atomic(durable=True)
def install_device(command: InstallDevice, *, by: Person, at: datetime) -> Device:
    """Put a device on a vessel; it runs until it is turned off.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, UnknownDeviceKind,
        BiofilterAreaUnfit
    """
    vessel = vessel_for(by, command.vessel_id, deed="tanks.install-device")
    columns = asdict(command)
    columns["installed_at"] = columns.pop("happened_at")
    if command.biofilter_area_m2 is not None:  # as the column keeps it, so that twice is the same
        columns["biofilter_area_m2"] = round(command.biofilter_area_m2, 2)
    if device := earlier(Device, command.id, columns):
        return device
    require_past(command.happened_at, at=at)
    require_in_use(vessel, at=command.happened_at)
    _require_kind_and_area(command)
    device = Device.objects.create(**columns)
    _record("tanks.install-device", device, device, by=by, when=command.happened_at, at=at)
    return device


@transaction.atomic(durable=True)
def remove_device(command: RemoveDevice, *, by: Person, at: datetime) -> Device:
    """Take a device out for good.

    Raises:
        NotFound, NotAllowed, InTheFuture, DeviceNotThere
    """
    device = _device_for(by, command.device_id, deed="tanks.remove-device")
    if device.removed_at == command.happened_at:
        return device
    require_past(command.happened_at, at=at)
    _require_there(device, at=command.happened_at)
    device.removed_at = command.happened_at
    device.save(update_fields=["removed_at"])
    _record("tanks.remove-device", device, device, by=by, when=command.happened_at, at=at)
    return device


@transaction.atomic(durable=True)
def switch_device(command: SwitchDevice, *, by: Person, at: datetime) -> Switch:
    """Turn a device off until a named time, or on again.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, DeviceNotThere, OffWithoutReturn,
        OnWithReturn, WhyMissing, UnknownOwner
    """
    device = _device_for(by, command.device_id, deed="tanks.switch-device")
    if switch := earlier(Switch, command.id, asdict(command)):
        return switch
    require_past(command.happened_at, at=at)
    _require_there(device, at=command.happened_at)
    _require_loan(command)
    if people.role_at(device.vessel.site, _person(command.owner_id)) is None:
        raise UnknownOwner("Choose somebody who works here.")
    switch = Switch.objects.create(**asdict(command), recorded_at=at, by=by)
    _record("tanks.switch-device", switch, device, by=by, when=command.happened_at, at=at)
    return switch


def _require_kind_and_area(command: InstallDevice) -> None:
    if command.kind not in Device.Kind.values:
        raise UnknownDeviceKind("Choose what kind of device it is.")
    area_m2 = command.biofilter_area_m2
    if area_m2 is None:
        return
    if command.kind != Device.Kind.BIOFILTER:
        raise BiofilterAreaUnfit("Only a biofilter has a media area; leave this empty.")
    if not _LEAST_AREA_M2 <= area_m2 <= _MOST_AREA_M2:
        raise BiofilterAreaUnfit(
            "Give the media's area, from 0.01 to 100 000 m², or leave it empty."
        )


def _require_there(device: Device, *, at: datetime) -> None:
    zone = device.vessel.site.zone
    if at < device.installed_at:
        local = device.installed_at.astimezone(zone)
        raise DeviceNotThere(f"{device.name} was put in on {local:%d %B %Y, %H:%M}.")
    if device.removed_at is not None and at >= device.removed_at:
        local = device.removed_at.astimezone(zone)
        raise DeviceNotThere(f"{device.name} was taken out on {local:%d %B %Y, %H:%M}.")


def _require_loan(command: SwitchDevice) -> None:
    if command.is_on and command.due_back_at is not None:
        raise OnWithReturn("A device that is on again has no time to be back; leave this empty.")
    if command.is_on:
        return
    if not command.why.strip():
        raise WhyMissing("Say why it is off in a few words.")
    if command.due_back_at is None:
        raise OffWithoutReturn("Say when it must be on again: everything off is on loan.")
    if command.due_back_at <= command.happened_at:
        raise OffWithoutReturn("It must be on again later than it went off; give a later time.")


def _person(person_id: UUID) -> Person:
    person = Person.objects.filter(pk=person_id, is_active=True).first()
    if person is None:
        raise UnknownOwner("Choose somebody who works here.")
    return person


def _device_for(by: Person, device_id: UUID, *, deed: str) -> Device:
    rows = Device.objects.filter(vessel__in=Vessel.objects.open_to(by))
    device = rows.select_related("vessel__site").filter(pk=device_id).first()
    if device is None:
        raise NotFound("There is no such device here.")
    people.require(by, deed, device.vessel.site)
    take_turn(device.vessel.site)
    device.refresh_from_db(fields=["removed_at"])
    return device


def _record(
    kind: str, row: models.Model, device: Device, *, by: Person, when: datetime, at: datetime
) -> None:
    ledger.record(
        kind,
        [row],
        about=device.vessel,
        site=device.vessel.site,
        by=by,
        happened_at=when,
        recorded_at=at,
    )
