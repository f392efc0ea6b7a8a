from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.forms import Form
from django.http import Http404, HttpResponse
from django.shortcuts import render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.queries import people
from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import vessels
from tanks.forms.vessels import RelabelSheet, RenameSheet, RetireSheet, VesselSheet
from tanks.models import Label, Vessel, Volume
from tanks.queries import devices, estate
from tanks.queries.waters import water_of
from tanks.rules.volumes import BadBasis, Working, working
from tanks.views.found import site_of, vessel_of

_KINDS = {"tank": Vessel.Kind.TANK, "system": Vessel.Kind.SYSTEM}


@login_required
@require_GET
def set_up(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    """Everything about a vessel that stays as it is until somebody changes it."""
    vessel = vessel_of(request, vessel_id)
    now = timezone.now()
    volume = estate.volumes([vessel.pk], at=now).get(vessel.pk)
    facts = {
        "vessel": vessel,
        "now": now,
        "water": water_of(vessel, at=now),
        "volume": volume,
        "working": _working(volume),
        "connection": estate.connection_at(vessel, at=now),
        "devices": devices.running([vessel.pk], at=now),
        "labels": Label.objects.filter(vessel=vessel, retired_at=None).order_by("made_at"),
        "may": people.deeds_of(request.user, vessel.site),
    }
    return render(request, "tanks/set_up.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def open_vessel(request: SignedRequest, site_id: UUID, kind: str) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "tanks.open-vessel", site)
    if kind not in _KINDS:
        raise Http404
    sheet = VesselSheet(request.POST or None, site=site, kind=_KINDS[kind])
    if sheet.is_valid():
        vessel = carry_out(vessels.open_vessel, sheet.command(), request=request, on=sheet)
        if vessel is not None:
            return see_other(resolve_url("tanks:measure-volume", vessel.pk))
    return sheet_page(
        request,
        sheet,
        title=f"Add a {kind}",
        sub=f"At {site.name}. Its volume is asked for next.",
        verb=f"Add the {kind}",
        cancel=f"{resolve_url('tanks:estate')}?site={site.pk}",
    )


@login_required
@require_http_methods(["GET", "POST"])
def rename(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    vessel = vessel_of(request, vessel_id)
    require(request, "tanks.rename-vessel", vessel.site)
    sheet = RenameSheet(request.POST or None, initial={"code": vessel.code, "name": vessel.name})
    if sheet.is_valid() and carry_out(
        vessels.rename_vessel, sheet.command(vessel), request=request, on=sheet
    ):
        return _to_set_up(vessel_id)
    return _page(request, sheet, vessel, "Rename", "Labels already printed keep leading to it.")


@login_required
@require_http_methods(["GET", "POST"])
def relabel(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    vessel = vessel_of(request, vessel_id)
    require(request, "tanks.relabel", vessel.site)
    sheet = RelabelSheet(request.POST if request.method == "POST" else None)
    if sheet.is_valid() and carry_out(
        vessels.relabel, sheet.command(vessel), request=request, on=sheet
    ):
        return _to_set_up(vessel_id)
    return _page(
        request,
        sheet,
        vessel,
        "Make a new label for",
        "For one that fell off or went astray. The old label leads nowhere from then on.",
    )


@login_required
@require_http_methods(["GET", "POST"])
def retire(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    vessel = vessel_of(request, vessel_id)
    require(request, "tanks.retire-vessel", vessel.site)
    sheet = RetireSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        vessels.retire_vessel, sheet.command(vessel), request=request, on=sheet
    ):
        return _to_set_up(vessel_id)
    return _page(
        request, sheet, vessel, "Retire", "It stays on record; nothing new can be entered for it."
    )


def _working(volume: Volume | None) -> Working | None:
    if volume is None:
        return None
    try:
        return working(volume.means, volume.basis)
    except BadBasis:  # entered under an older form of the sheet: the litres stand
        return None


def _to_set_up(vessel_id: UUID) -> HttpResponse:
    return see_other(resolve_url("tanks:set-up", vessel_id))


def _page(request: SignedRequest, sheet: Form, vessel: Vessel, verb: str, sub: str) -> HttpResponse:
    return sheet_page(
        request,
        sheet,
        title=f"{verb} {vessel.code}",
        sub=sub,
        verb=verb.removesuffix(" for"),
        cancel=resolve_url("tanks:set-up", vessel.pk),
    )
