"""What recurs at each site; setting and ending it."""

from collections.abc import Mapping
from itertools import groupby
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.commands import duties as commands
from facility.forms.duties import DutySheet, first_duty
from facility.forms.sheets import Sheet
from facility.models import Duty, Site, WorkKind
from facility.queries import people
from facility.rules.patterns import told
from facility.sockets.subjects import Place, places_of
from facility.sockets.work import duty_ways
from facility.views.answers import see_other, sheet_page, status_of
from facility.views.signed import SignedRequest, carry_out, require


@login_required
@require_GET
def duties(request: SignedRequest) -> HttpResponse:
    """Every duty in force at the sites this person belongs to."""
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {"places": [_place(request, site) for site in sites]}
    return render(request, "facility/duties.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def set_duty(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    require(request, "facility.set-duty", site)
    now = timezone.now()
    sheet = DutySheet(request.POST or None, site=site, now=now, initial=first_duty(now, site))
    if sheet.is_valid() and carry_out(
        commands.set_duty, sheet.command(), request=request, on=sheet
    ):
        messages.success(request, "It comes round from now on.", extra_tags="done")
        return see_other(resolve_url("facility:duties"))
    facts = {"form": sheet, "site": site, "cancel": resolve_url("facility:duties")}
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "facility/set_duty.html", facts, status=status)


@login_required
@require_http_methods(["GET", "POST"])
def end_duty(request: SignedRequest, duty_id: UUID) -> HttpResponse:
    here = Duty.objects.open_to(request.user).select_related("site")
    duty = get_object_or_404(here, pk=duty_id)
    require(request, "facility.end-duty", duty.site)
    sheet = Sheet(request.POST if request.method == "POST" else None)
    command = commands.EndDuty(duty_id=duty.pk)
    if sheet.is_valid() and carry_out(commands.end_duty, command, request=request, on=sheet):
        return see_other(resolve_url("facility:duties"))
    return sheet_page(
        request,
        sheet,
        title=f"End: {duty.title}",
        sub=f"It comes {told(duty.rule, duty.at)}. Nothing falls due from now on; the past stays.",
        verb="End it now",
        cancel=resolve_url("facility:duties"),
    )


def _place(request: SignedRequest, site: Site) -> dict[str, Any]:
    rows = Duty.objects.in_force().filter(site=site).select_related("area", "goes_after")
    found = sorted(rows.order_by("hygiene_rank", "area__name", "at", "title", "pk"), key=_kind)
    places = places_of({duty.about for duty in found})
    may = people.deeds_of(request.user, site)
    return {
        "site": site,
        "kinds": [
            (
                WorkKind(kind).label,
                [(duty, places.get(duty.about), told(duty.rule, duty.at)) for duty in rows],
            )
            for kind, rows in groupby(found, key=_kind)
        ],
        "may": may,
        "ways": [(way.label, way.url(site.pk)) for way in duty_ways if way.deed in may],
    }


def _kind(duty: Duty) -> str:
    return duty.kind


def _row(duty: Duty, places: Mapping[str, Place]) -> tuple[Duty, Place | None, str]:
    return duty, places.get(duty.about), told(duty.rule, duty.at)
