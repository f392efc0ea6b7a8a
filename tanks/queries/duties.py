"""What is due in the tanks of a site: tests, doses, challenges, devices on loan."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from django.urls import reverse

from facility.models import Site
from facility.rules.wording import day_and_time
from facility.sockets.work import Due
from tanks.models import Device, Switch
from tanks.queries.cycles import Course, courses
from tanks.queries.preparations import latest_switches
from tanks.queries.proofs import Tried
from tanks.rules.measured import of
from tanks.rules.proof import MIXED_AFTER, START_BEFORE, WINDOW_SLACK
from tanks.rules.rounds import Day, Duty, Running, duties, is_due
from tanks.sockets.stocking import stocked_since

# What a task of the same kind may ask for instead.
_KINDS: Final = {"test": "TEST", "keep-fed": "KEEP_FED"}


def cycling_duties(site_id: UUID, at: datetime) -> Iterator[Due]:
    """What the site's open start-ups ask for; the number of queries does not grow with them."""
    site = Site.objects.get(pk=site_id)
    known = courses(site, at=at)
    stocked = stocked_since([one.cycle.pk for one in known])
    for one in known:
        since = stocked.get(one.cycle.pk)
        day = day_of(one, is_stocked=since is not None and since <= at)
        yield from (_due(one, duty) for duty in duties(day))


def device_duties(site_id: UUID, at: datetime) -> Iterator[Due]:
    """Devices that are off and due back today, or were before."""
    site = Site.objects.get(pk=site_id)
    rows = Device.objects.filter(vessel__site=site, installed_at__lte=at)
    there = rows.exclude(removed_at__lte=at).select_related("vessel__area").order_by("name", "pk")
    devices = list(there)
    latest = latest_switches(devices, at=at)
    for device in devices:
        switch = latest.get(device.pk)
        back_at = switch.due_back_at if switch and not switch.is_on else None
        if switch and back_at and is_due(back_at, at=at, zone=site.zone):
            yield _back_on(device, switch, back_at, site)


def day_of(one: Course, *, is_stocked: bool) -> Day:
    """Gather what the rule of the day's work asks about a start-up."""
    return Day(
        at=one.at,
        zone=one.cycle.vessel.site.zone,
        started_at=one.cycle.started_at,
        readings=tuple(one.measures),
        has_dose=bool(one.ammonia_doses),
        redose=one.redose,
        running=_running(one),
        fed_at=one.fed_at,
        lapses_at=one.lapses_at,
        is_stocked=is_stocked,
    )


def _running(one: Course) -> Running | None:
    """The latest challenge while it has no verdict and its window is not long past."""
    latest = one.challenges[-1] if one.challenges else None
    if latest is None or latest.verdict is not None:
        return None
    if one.at > latest.ends_at + WINDOW_SLACK + timedelta(days=1):
        return None
    return Running(
        dosed_at=latest.challenge.dose.happened_at,
        ends_at=latest.ends_at,
        is_start_read=_is_start_read(one, latest),
    )


def _is_start_read(one: Course, latest: Tried) -> bool:
    dosed_at = latest.challenge.dose.happened_at
    tans = of("TAN", one.measures)
    return any(MIXED_AFTER <= tan.at - dosed_at <= START_BEFORE for tan in tans)


def _due(one: Course, duty: Duty) -> Due:
    vessel = one.story.water.anchor
    target = one.cycle if duty.way == "plan" else one.cycle.vessel
    return Due(
        key=f"tanks.{duty.key}:{one.cycle.pk}",
        title=duty.title,
        why=duty.why,
        place=f"{vessel.area.name}, {one.story.water.name}",
        hygiene_rank=vessel.area.hygiene_rank,
        due_at=duty.due_at,
        url=reverse(f"tanks:{duty.way}", args=[target.pk]),
        vessel_ids=one.story.water.member_ids,
        kind=_KINDS.get(duty.key, ""),
        parameters=duty.parameters,
    )


def _back_on(device: Device, switch: Switch, back_at: datetime, site: Site) -> Due:
    since = day_and_time(switch.happened_at, zone=site.zone)
    return Due(
        key=f"tanks.back-on:{switch.pk}",
        title=f"Turn {device.name} on again",
        why=f"Off since {since} for: {switch.why}. {switch.owner.full_name} answers for it.",
        place=f"{device.vessel.area.name}, {device.vessel.name or device.vessel.code}",
        hygiene_rank=device.vessel.area.hygiene_rank,
        due_at=back_at,
        url=reverse("tanks:tank", args=[device.vessel_id]),
        vessel_ids=frozenset([device.vessel_id]),
    )
