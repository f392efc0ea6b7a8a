"""Life support as it runs at a moment."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Q

from tanks.models import Device, Switch


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """A device with the latest word on it; without one it has run since it was put in."""

    device: Device
    switch: Switch | None
    at: datetime

    @property
    def is_on(self) -> bool:
        return self.switch is None or self.switch.is_on

    @property
    def is_overdue(self) -> bool:
        """It is off, and should have been on again by now."""
        due = None if self.switch is None or self.switch.is_on else self.switch.due_back_at
        return due is not None and due <= self.at


def running(vessel_ids: Iterable[UUID], *, at: datetime) -> list[Running]:
    """Every device on these vessels at that moment, those that are off first."""
    there = Q(installed_at__lte=at) & (Q(removed_at=None) | Q(removed_at__gt=at))
    devices = Device.objects.filter(there, vessel__in=vessel_ids)
    devices = devices.select_related("vessel__site", "vessel__area")
    rows = list(devices.order_by("vessel__code", "kind", "name", "pk"))
    switches = _latest(rows, at)
    found = [Running(device=row, switch=switches.get(row.pk), at=at) for row in rows]
    return sorted(found, key=lambda each: each.is_on)


def _latest(devices: Iterable[Device], at: datetime) -> dict[UUID, Switch]:
    rows = Switch.objects.current().filter(device__in=devices, happened_at__lte=at)
    rows = rows.select_related("by", "owner")
    rows = rows.order_by("device_id", "-happened_at", "-recorded_at").distinct("device_id")
    return {row.device_id: row for row in rows}
