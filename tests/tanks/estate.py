"""Builders of the estate: tanks, systems, litres and valves, each through its command."""

from datetime import datetime
from secrets import token_bytes
from uuid import uuid4

from facility.rules.codes import new_code
from tanks.commands.connections import CloseValve, OpenValve, close_valve, open_valve
from tanks.commands.devices import InstallDevice, install_device
from tanks.commands.vessels import OpenVessel, open_vessel
from tanks.commands.volumes import MeasureVolume, measure_volume
from tanks.models import Connection, Device, Vessel, Volume
from tests.cast import NOON, House


def a_label() -> str:
    return new_code(token_bytes(8))


def vessel_of(
    house: House, *, code: str = "A-01", kind: str = "TANK", at: datetime = NOON
) -> Vessel:
    command = OpenVessel(
        id=uuid4(),
        site_id=house.site.pk,
        area_id=house.area.pk,
        kind=kind,
        code=code,
        name="",
        label=a_label(),
        happened_at=at,
    )
    return open_vessel(command, by=house.mo, at=max(at, NOON))


def system_of(house: House, *, code: str = "S-1", at: datetime = NOON) -> Vessel:
    return vessel_of(house, code=code, kind="SYSTEM", at=at)


def measured(house: House, vessel: Vessel, *, litres: str, at: datetime = NOON) -> Volume:
    command = MeasureVolume(
        id=uuid4(),
        vessel_id=vessel.pk,
        happened_at=at,
        means="METERED",
        basis={"litres": litres},
    )
    return measure_volume(command, by=house.mo, at=max(at, NOON))


def opened(
    house: House, vessel: Vessel, system: Vessel, *, at: datetime = NOON, valve: str = ""
) -> Connection:
    command = OpenValve(
        id=uuid4(), vessel_id=vessel.pk, system_id=system.pk, valve=valve, happened_at=at
    )
    return open_valve(command, by=house.mo, at=max(at, NOON))


def closed(house: House, connection: Connection, *, at: datetime) -> Connection:
    command = CloseValve(connection_id=connection.pk, happened_at=at)
    return close_valve(command, by=house.mo, at=max(at, NOON))


def device_on(
    house: House, vessel: Vessel, *, kind: str = "UV", name: str = "UV 1", at: datetime = NOON
) -> Device:
    command = InstallDevice(
        id=uuid4(),
        vessel_id=vessel.pk,
        kind=kind,
        name=name,
        biofilter_area_m2=None,
        happened_at=at,
    )
    return install_device(command, by=house.mo, at=max(at, NOON))
