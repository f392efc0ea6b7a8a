"""What people reported of the waters of a site, and what is turned off in them."""

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from facility.rules.wording import written
from tanks.models import Incident, Switch, WalkSign
from tanks.queries.devices import Running, running
from tanks.rules.alarms.known import Report

# As far back as a rule may look.
_OLDEST: Final = timedelta(days=60)


def reports_in(vessels: Iterable[UUID], *, at: datetime) -> dict[UUID, list[Report]]:
    """By vessel: incidents, signs of walks, devices that are off."""
    ids, found = frozenset(vessels), dict[UUID, list[Report]]()
    for vessel, report in (*_incidents(ids, at), *_signs(ids, at), *_off(ids, at)):
        found.setdefault(vessel, []).append(report)
    return found


def _incidents(vessels: frozenset[UUID], at: datetime) -> Iterator[tuple[UUID, Report]]:
    rows = Incident.objects.current().filter(
        vessel__in=vessels, happened_at__gt=at - _OLDEST, happened_at__lte=at
    )
    for row in rows.order_by("happened_at", "pk"):
        yield row.vessel_id, _incident(row)


def _incident(row: Incident) -> Report:
    lasted = None if row.lasted_h is None else timedelta(hours=float(row.lasted_h))
    over_at = None if lasted is None else row.happened_at + lasted
    span = "" if row.lasted_h is None else f" for {written(row.lasted_h)} h"
    return Report(
        key=f"tanks.incident:{row.pk}",
        kind=f"incident:{row.kind}",
        told=f"{row.get_kind_display()}{span}: {row.note}".rstrip(": "),
        at=row.happened_at,
        until=over_at,
    )


def _signs(vessels: frozenset[UUID], at: datetime) -> Iterator[tuple[UUID, Report]]:
    rows = WalkSign.objects.current().filter(
        vessel__in=vessels, happened_at__gt=at - _OLDEST, happened_at__lte=at
    )
    for row in rows.select_related("vessel").order_by("happened_at", "pk"):
        yield row.vessel_id, _sign(row)


def _sign(row: WalkSign) -> Report:
    told = f"{row.get_sign_display()} in {row.vessel.code}"
    return Report(
        key=f"tanks.walksign:{row.pk}",
        kind=f"walk:{row.sign}",
        told=f"{told}: {row.note}" if row.note else told,
        at=row.happened_at,
    )


def _off(vessels: frozenset[UUID], at: datetime) -> Iterator[tuple[UUID, Report]]:
    for each in running(vessels, at=at):
        if each.switch is not None and not each.is_on:
            yield each.device.vessel_id, _turned_off(each, each.switch)


def _turned_off(each: Running, switch: Switch) -> Report:
    device = each.device
    return Report(
        key=f"tanks.switch:{switch.pk}",
        kind=f"off:{device.kind}",
        told=f"{device.name} of {device.vessel.code} was turned off ({switch.why})",
        at=switch.happened_at,
        goes_on=True,
    )
