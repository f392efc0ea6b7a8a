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
from tanks.commands import seedings as commands
from tanks.forms.changes import SeedingSheet
from tanks.queries.devices import Running, running
from tanks.queries.readings import latest_in
from tanks.queries.waters import Water, water_of
from tanks.rules.preparation import OFF_WHILE_SEEDING
from tanks.views.found import vessel_of


@login_required
@require_http_methods(["GET", "POST"])
def log_seeding(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    vessel = vessel_of(request, vessel_id)
    require(request, "tanks.log-seeding", vessel.site)
    water = water_of(vessel, at=timezone.now())
    sheet = SeedingSheet(request.POST or None, vessel=vessel)
    if sheet.is_valid() and carry_out(
        commands.log_seeding, sheet.command(), request=request, on=sheet
    ):
        messages.success(request, f"Seeding of {vessel.code} recorded.", extra_tags="done")
        return see_other(reverse("tanks:tank", args=[vessel.pk]))
    facts = {
        "form": sheet,
        "vessel": vessel,
        "water": water,
        "in_the_way": _in_the_way(water),
        "chlorine": latest_in(water).get("CHLORINE"),
        "now": timezone.now(),
    }
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "tanks/log_seeding.html", facts, status=status)


def _in_the_way(water: Water) -> list[Running]:
    """Devices that are on and take or kill what floats."""
    devices = running(water.member_ids, at=water.at)
    return [one for one in devices if one.is_on and one.device.kind in OFF_WHILE_SEEDING]
