"""What a page is about, looked up for the person who asks; its site's clock is put on."""

from uuid import UUID

from django.shortcuts import get_object_or_404
from django.utils import timezone

from facility.models import Site
from facility.views.signed import SignedRequest
from tanks.models import Connection, Cycle, Device, Vessel
from tanks.queries.cycles import related


def site_of(request: SignedRequest, site_id: UUID) -> Site:
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    timezone.activate(site.zone)
    return site


def vessel_of(request: SignedRequest, vessel_id: UUID) -> Vessel:
    known = Vessel.objects.open_to(request.user).select_related("site", "area")
    vessel = get_object_or_404(known, pk=vessel_id)
    timezone.activate(vessel.site.zone)
    return vessel


def connection_of(request: SignedRequest, connection_id: UUID) -> Connection:
    known = Connection.objects.filter(vessel__in=Vessel.objects.open_to(request.user))
    known = known.select_related("vessel__site", "system__site")
    connection = get_object_or_404(known, pk=connection_id)
    timezone.activate(connection.vessel.site.zone)
    return connection


def device_of(request: SignedRequest, device_id: UUID) -> Device:
    known = Device.objects.filter(vessel__in=Vessel.objects.open_to(request.user))
    device = get_object_or_404(known.select_related("vessel__site"), pk=device_id)
    timezone.activate(device.vessel.site.zone)
    return device


def cycle_of(request: SignedRequest, cycle_id: UUID) -> Cycle:
    cycle = get_object_or_404(related(Cycle.objects.open_to(request.user)), pk=cycle_id)
    timezone.activate(cycle.vessel.site.zone)
    return cycle
