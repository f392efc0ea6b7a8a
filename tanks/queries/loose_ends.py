"""What the tanks know that must not last: valves closed on loan, devices off."""

from collections.abc import Iterator
from datetime import datetime
from uuid import UUID

from django.urls import reverse

from facility.models import Site
from facility.queries.loose_ends import loose_in
from facility.sockets.loose_ends import Loose
from facility.sockets.work import Due
from tanks.models import ValveLoan, Vessel
from tanks.queries.devices import Running, running
from tanks.queries.isolation import loans_at, outlooks
from tanks.queries.waters import Water
from tanks.rules.isolation import Isolated, says
from tanks.rules.rounds import is_due


def loose_in_water(water: Water) -> list[Loose]:
    """What is loose at this water: on its vessels, or at a valve of its system."""
    mine = {_key(pk) for pk in water.member_ids}
    return [one for one in loose_in(water.anchor.site, water.at) if one.subjects & mine]


def devices_off(site_id: UUID, at: datetime) -> Iterator[Loose]:
    vessels = Vessel.objects.filter(site=site_id).exclude(retired_at__lte=at)
    found = running(vessels.values_list("pk", flat=True), at=at)
    yield from (_off(each, at) for each in found if not each.is_on)


def valves_closed(site_id: UUID, at: datetime) -> Iterator[Loose]:
    """With what ammonia does behind each."""
    loans = loans_at(site_id, at)
    if not loans:
        return
    site = Site.objects.get(pk=site_id)
    ahead = outlooks(site, loans, at=at)
    yield from (_closed(loan, ahead[loan.pk], at) for loan in loans)


def valve_duties(site_id: UUID, at: datetime) -> Iterator[Due]:
    """Valves to be opened again today, or before."""
    loans = loans_at(site_id, at)
    site = Site.objects.get(pk=site_id) if loans else None
    for loan in loans:
        if site and is_due(loan.due_back_at, at=at, zone=site.zone):
            yield _to_open(loan)


def _off(each: Running, at: datetime) -> Loose:
    device, vessel = each.device, each.device.vessel
    switch = each.switch
    if switch is None or switch.due_back_at is None:
        raise ValueError(f"{device} runs, or its switch is no loan.")
    return Loose(
        key=f"tanks.switch:{switch.pk}",
        kind="Device off",
        what=f"{device.name} is off",
        why=switch.why,
        owner_id=switch.owner_id,
        owner_name=switch.owner.full_name,
        since=switch.happened_at,
        due_back_at=switch.due_back_at,
        about=_key(vessel.pk),
        place=vessel.name or vessel.code,
        hygiene_rank=vessel.area.hygiene_rank,
        url=reverse("tanks:tank", args=[vessel.pk]),
        return_url=reverse("tanks:switch-device", args=[device.pk]),
        is_overdue=switch.due_back_at <= at,
    )


def _closed(loan: ValveLoan, ahead: Isolated, at: datetime) -> Loose:
    connection = loan.connection
    vessel, system = connection.vessel, connection.system
    return Loose(
        key=f"tanks.valveloan:{loan.pk}",
        kind="Valve closed",
        what=f"Valve between {vessel.code} and {system.code} is closed",
        why=loan.why,
        owner_id=loan.owner_id,
        owner_name=loan.owner.full_name,
        since=connection.period.upper,
        due_back_at=loan.due_back_at,
        about=_key(vessel.pk),
        also=frozenset([_key(system.pk)]),
        place=vessel.name or vessel.code,
        hygiene_rank=vessel.area.hygiene_rank,
        url=reverse("tanks:tank", args=[vessel.pk]),
        return_url=reverse("tanks:open-valve", args=[vessel.pk]),
        later_url=reverse("tanks:lend-valve", args=[connection.pk]),
        is_overdue=loan.due_back_at <= at,
        note=says(ahead),
    )


def _to_open(loan: ValveLoan) -> Due:
    vessel = loan.connection.vessel
    return Due(
        key=f"tanks.valve-back:{loan.pk}",
        title=f"Open {vessel.code} to {loan.connection.system.code} again",
        why=f"Closed for: {loan.why}. {loan.owner.full_name} answers for it.",
        place=f"{vessel.area.name}, {vessel.name or vessel.code}",
        hygiene_rank=vessel.area.hygiene_rank,
        due_at=loan.due_back_at,
        url=reverse("tanks:open-valve", args=[vessel.pk]),
        vessel_ids=frozenset([vessel.pk]),
    )


def _key(vessel_id: UUID) -> str:
    return f"tanks.vessel:{vessel_id}"
