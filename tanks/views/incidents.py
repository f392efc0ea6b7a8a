from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import incidents as commands
from tanks.forms.changes import IncidentSheet
from tanks.queries.feeds import certified_in
from tanks.queries.waters import water_of
from tanks.views.found import vessel_of


@login_required
@require_http_methods(["GET", "POST"])
def log_incident(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    vessel = vessel_of(request, vessel_id)
    require(request, "tanks.log-incident", vessel.site)
    now = timezone.now()
    water = water_of(vessel, at=now)
    sheet = IncidentSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        commands.log_incident, sheet.command(vessel), request=request, on=sheet
    ):
        messages.success(request, f"Incident at {vessel.code} recorded.", extra_tags="done")
        return see_other(reverse("tanks:tank", args=[vessel.pk]))
    facts = {
        "form": sheet,
        "vessel": vessel,
        "water": water,
        "certified": certified_in(water, at=now),
    }
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "tanks/log_incident.html", facts, status=status)
