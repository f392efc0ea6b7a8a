"""What is out of range at a site, and the sheet that says what was done about it."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.models import Site
from facility.queries import people
from facility.views.answers import onward, see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands.corrective_actions import act_on_reading as give
from tanks.forms.corrective_actions import ActOnReadingSheet
from tanks.models import Reading, Vessel
from tanks.queries.exceedances import open_at_site, open_in_waters
from tanks.queries.judging import looks_around
from tanks.queries.waters import water_of
from tanks.rules.exceedances import OUT


@login_required
@require_GET
def exceedances(request: SignedRequest) -> HttpResponse:
    """Everything that was read out of range and has not been read inside since."""
    now = timezone.now()
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {"now": now, "places": [_place(request, site, now) for site in sites]}
    return render(request, "tanks/exceedances.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def act_on_reading(request: SignedRequest, reading_id: UUID) -> HttpResponse:
    """Say what was done; the retest is asked for by itself."""
    reading = _reading(request, reading_id)
    site = reading.vessel.site
    require(request, "tanks.act-on-reading", site)
    timezone.activate(site.zone)
    now = timezone.now()
    broken = [
        look
        for look in looks_around(reading, until=reading.happened_at)
        if look.reading == reading.pk and look.state == OUT
    ]
    parameter = broken[0].parameter if broken else reading.parameter
    sheet = ActOnReadingSheet(request.POST or None, reading=reading, parameter=parameter)
    if sheet.is_valid() and carry_out(give, sheet.command(), request=request, on=sheet):
        messages.success(
            request, "Recorded; it stays open until it reads inside.", extra_tags="done"
        )
        return see_other(_back(request, reading))
    facts = {
        "form": sheet,
        "reading": reading,
        "vessel": reading.vessel,
        "broken": broken,
        "open": [
            one
            for one in open_in_waters([water_of(reading.vessel, at=now)])
            if reading.pk in one.told.exceedance.readings
        ],
        "now": now,
        "back": _back(request, reading),
    }
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "tanks/act_on_reading.html", facts, status=status)


def _place(request: SignedRequest, site: Site, now: Any) -> dict[str, Any]:
    return {
        "site": site,
        "open": open_at_site(site, at=now),
        "may": people.deeds_of(request.user, site),
    }


def _reading(request: SignedRequest, reading_id: UUID) -> Reading:
    rows = Reading.objects.select_related("vessel__site", "vessel__area", "method", "by")
    known = rows.filter(vessel__in=Vessel.objects.open_to(request.user))
    reading: Reading = get_object_or_404(known, pk=reading_id)
    return reading


def _back(request: SignedRequest, reading: Reading) -> str:
    if "next" in request.GET:
        return onward(request)
    return resolve_url("tanks:tank", reading.vessel_id)
