"""Looks at the animals: every tank that holds some, one tank, one look."""

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.models import Site
from facility.queries import people
from facility.queries.photos import photos_named
from facility.views.answers import onward, see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import observations as commands
from quarantine.forms.observations import ObservationSheet
from quarantine.queries.books import lots_in
from quarantine.queries.carcasses import clock_of
from quarantine.queries.looks import deaths_lately, findings_in, looks_in, tanks_held
from quarantine.views.pictured import pictured
from tanks.queries.waters import water_of
from tanks.views.found import vessel_of


@login_required
@require_GET
def every(request: SignedRequest) -> HttpResponse:
    """Each tank with animals: who, when last looked at, how many died within a week."""
    now = timezone.now()
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    places = [
        {
            "site": site,
            "may": people.deeds_of(request.user, site),
            "tanks": (tanks := tanks_held(site, at=now)),
            "areas": list(dict.fromkeys(one.vessel.area for one in tanks)),
        }
        for site in sites
    ]
    return render(request, "quarantine/looks.html", {"places": places, "now": now})


@login_required
@require_GET
def tank(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    """The animals of one tank: looks, deaths and results of the last 30 days."""
    vessel = vessel_of(request, vessel_id)
    now = timezone.now()
    held = lots_in([vessel.pk], at=now)
    looks = looks_in([vessel.pk], at=now)
    facts = {
        "vessel": vessel,
        "water": water_of(vessel, at=now),
        "held": held,
        "looks": [(look, photos_named(look.row.photos)) for look in looks],
        "deaths": [(death, clock_of(death)) for death in deaths_lately([vessel.pk], at=now)],
        "findings": findings_in([vessel.pk], [one.lot.pk for one in held]),
        "may": people.deeds_of(request.user, vessel.site),
        "now": now,
    }
    return render(request, "quarantine/tank_looks.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def log_observation(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    vessel = vessel_of(request, vessel_id)
    require(request, "quarantine.log-observation", vessel.site)
    now = timezone.now()
    held = lots_in([vessel.pk], at=now)
    sheet = ObservationSheet(request.POST or None, request.FILES or None, held=held)
    if sheet.is_valid() and (photos := pictured(request, sheet, vessel)) is not None:
        command = sheet.command(vessel, photos=photos)
        if carry_out(commands.log_observation, command, request=request, on=sheet):
            messages.success(request, f"Look at {vessel.code} recorded.", extra_tags="done")
            tank_page = resolve_url("tanks:tank", vessel.pk)
            return see_other(onward(request) if "next" in request.GET else tank_page)
    latest = next(iter(looks_in([vessel.pk], at=now)), None)
    facts = {"vessel": vessel, "form": sheet, "held": held, "latest": latest, "now": now}
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "quarantine/log_observation.html", facts, status=status)
