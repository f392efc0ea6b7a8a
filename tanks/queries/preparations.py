"""What is known of a water that is to be seeded."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.urls import reverse

from tanks.models import Cycle, Device, Switch, WaterChange
from tanks.queries.measures import latest_measures
from tanks.queries.policies import chlorine_limit_mg_l, terms_of
from tanks.queries.readings import latest_in
from tanks.queries.waters import Water
from tanks.rules.preparation import Appliance, Setting, preparation
from tanks.rules.requirements import Requirement


def preparation_of(cycle: Cycle, water: Water, *, at: datetime) -> list[Requirement]:
    """Return the checklist before seeding, judged from what is on record at ``at``."""
    return preparation(setting_of(cycle, water, at=at))


def setting_of(cycle: Cycle, water: Water, *, at: datetime) -> Setting:
    site = cycle.vessel.site
    return Setting(
        at=at,
        started_at=cycle.started_at,
        zone=site.zone,
        terms=terms_of(cycle.policy),
        litres=water.litres,
        unmeasured=tuple(vessel.code for vessel in water.unmeasured),
        water_kind=cycle.water_kind,
        is_seeded=cycle.seed != Cycle.Seed.NONE,
        salinity_g_kg=float(cycle.cycling_salinity_g_kg),
        latest=latest_measures(latest_in(water)),
        chlorine_limit_mg_l=chlorine_limit_mg_l(site, water_kind=cycle.water_kind, at=at),
        refreshed_at=_refreshed_at(water, at),
        appliances=tuple(appliances_on(water.member_ids, at=at)),
    )


def appliances_on(vessel_ids: Iterable[UUID], *, at: datetime) -> list[Appliance]:
    """Return the devices on these vessels at that moment, each on or off."""
    devices = Device.objects.filter(vessel__in=list(vessel_ids), installed_at__lte=at)
    standing = list(devices.exclude(removed_at__lte=at).order_by("kind", "name", "pk"))
    latest = latest_switches(standing, at=at)
    return [_appliance(device, latest.get(device.pk)) for device in standing]


def latest_switches(devices: Iterable[Device], *, at: datetime) -> dict[UUID, Switch]:
    """Return the latest switch of each device, in one query."""
    rows = Switch.objects.current().filter(device__in=list(devices), happened_at__lte=at)
    ordered = rows.select_related("owner").order_by("device_id", "-happened_at", "-recorded_at")
    return {row.device_id: row for row in ordered.distinct("device_id")}


def _appliance(device: Device, switch: Switch | None) -> Appliance:
    # The page of the vessel: everybody may read it, also who may turn nothing.
    page = reverse("tanks:tank", args=[device.vessel_id])
    if switch is None:
        return Appliance(name=device.name, kind=device.kind, is_on=True, page=page)
    return Appliance(
        name=device.name,
        kind=device.kind,
        is_on=switch.is_on,
        since=switch.happened_at,
        due_back_at=switch.due_back_at,
        owner=switch.owner.full_name,
        page=page,
    )


def _refreshed_at(water: Water, at: datetime) -> datetime | None:
    rows = WaterChange.objects.current().filter(vessel__in=water.member_ids, happened_at__lte=at)
    return rows.order_by("-happened_at").values_list("happened_at", flat=True).first()
