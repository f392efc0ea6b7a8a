from functools import partial
from http import HTTPStatus
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.views.answers import see_other
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import readings as commands
from tanks.commands.methods import define_method
from tanks.commands.readings import LogReadings, SurprisingValue
from tanks.forms.readings import ReadingsSheet
from tanks.models import Method, Reading, Vessel
from tanks.queries import readings
from tanks.queries.waters import water_of
from tanks.rules.values import PARAMETERS
from tanks.views.found import vessel_of


@login_required
@require_http_methods(["GET", "POST"])
def log_readings(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    vessel = vessel_of(request, vessel_id)
    require(request, "tanks.log-readings", vessel.site)
    if "draw" in request.POST:
        return _drawn(request, vessel)
    sheet = _sheet(vessel, data=request.POST or None)
    if sheet.is_bound and sheet.is_valid() and _log(request, sheet):
        count = len(sheet.command().readings)
        what = f"{count} reading{'s' if count > 1 else ''} of {vessel.code} saved."
        messages.success(request, what, extra_tags="done")
        return see_other(reverse("tanks:tank", args=[vessel.pk]))
    facts = {"form": sheet, "vessel": vessel, "now": timezone.now()}
    status = HTTPStatus.UNPROCESSABLE_ENTITY if sheet.is_bound else HTTPStatus.OK
    return render(request, "tanks/log_readings.html", facts, status=status)


def _log(request: SignedRequest, sheet: ReadingsSheet) -> Reading | None:
    for new in sheet.new_methods():
        if carry_out(define_method, new, request=request, on=sheet) is None:
            return None
    command = sheet.command(confirmed=request.POST.getlist("confirmed"))
    return carry_out(partial(_asking, sheet), command, request=request, on=sheet)


def _asking(sheet: ReadingsSheet, command: LogReadings, **edge: Any) -> Reading:
    """Log, and let the sheet ask about what surprised."""
    try:
        return commands.log_readings(command, **edge)[0]
    except SurprisingValue as refusal:
        sheet.ask(refusal.sentences)
        raise


def _drawn(request: SignedRequest, vessel: Vessel) -> HttpResponse:
    """Draw one row anew for another method, with all that was typed."""
    parameter = request.POST["draw"]
    if parameter not in PARAMETERS:
        raise Http404
    typed = request.POST.dict() | {f"{parameter.lower()}-unit": "", f"{parameter.lower()}-step": ""}
    sheet = _sheet(vessel, initial=typed)
    facts = {"row": sheet.row(parameter), "now": timezone.now(), "vessel": vessel}
    return render(request, "tanks/_reading_row.html", facts)


def _sheet(vessel: Vessel, **options: Any) -> ReadingsSheet:
    now = timezone.now()
    options["initial"] = {"happened_at": now} | options.get("initial", {})
    return ReadingsSheet(
        vessel=vessel,
        methods=Method.objects.filter(site=vessel.site, retired_at=None),
        known=readings.latest_in(water_of(vessel, at=now)),
        **options,
    )
