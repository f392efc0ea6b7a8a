from http import HTTPStatus
from json import dumps
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
from tanks.commands import changes as commands
from tanks.forms.changes import WaterChangeSheet, units_of_source
from tanks.models import Vessel, WaterChange
from tanks.queries.waters import water_of
from tanks.views.exchanges import Exchange, exchange
from tanks.views.found import vessel_of


@login_required
@require_http_methods(["GET", "POST"])
def log_water_change(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    """``preview`` shows what the change leaves and keeps nothing."""
    vessel = vessel_of(request, vessel_id)
    require(request, "tanks.log-water-change", vessel.site)
    sheet = WaterChangeSheet(request.POST or None)
    found = exchange(sheet, vessel)
    if "preview" in request.POST:
        return _previewed(request, sheet, vessel, found)
    if sheet.is_valid() and (change := _change(request, sheet, vessel, found)):
        messages.success(
            request, f"{change.litres.normalize():f} L changed in {vessel.code}.", extra_tags="done"
        )
        return see_other(reverse("tanks:tank", args=[vessel.pk]))
    return _page(request, sheet, vessel, found, status_of(is_bound=sheet.is_bound))


def _change(
    request: SignedRequest, sheet: WaterChangeSheet, vessel: Vessel, found: Exchange | None
) -> WaterChange | None:
    if found is None or found.litres is None:
        sheet.add_error("quantity", found.hindrance if found else "Write how much was changed.")
        return None
    command = sheet.command(vessel, litres=found.litres)
    return carry_out(commands.log_water_change, command, request=request, on=sheet)


def _previewed(
    request: SignedRequest, sheet: WaterChangeSheet, vessel: Vessel, found: Exchange | None
) -> HttpResponse:
    if "HX-Request" in request.headers:
        return render(request, "tanks/_exchange.html", {"exchange": found})
    status = HTTPStatus.OK if sheet.is_valid() else HTTPStatus.UNPROCESSABLE_ENTITY
    return _page(request, sheet, vessel, found, status)


def _page(
    request: SignedRequest,
    sheet: WaterChangeSheet,
    vessel: Vessel,
    found: Exchange | None,
    status: HTTPStatus,
) -> HttpResponse:
    facts = {
        "form": sheet,
        "vessel": vessel,
        "water": water_of(vessel, at=timezone.now()),
        "exchange": found,
        "units": dumps(units_of_source()),
    }
    return render(request, "tanks/log_water_change.html", facts, status=status)
