from http import HTTPStatus
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import render, resolve_url
from django.views.decorators.http import require_http_methods

from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands.volumes import measure_volume
from tanks.forms.volumes import SHEETS, VolumeSheet
from tanks.models import Vessel
from tanks.views.found import vessel_of


@login_required
@require_http_methods(["GET", "POST"])
def measure(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    """``?by=`` chooses the sheet; ``preview`` shows the working and keeps nothing."""
    vessel = vessel_of(request, vessel_id)
    require(request, "tanks.measure-volume", vessel.site)
    by = request.GET.get("by", "metered")
    if by not in SHEETS:
        raise Http404
    sheet = SHEETS[by](request.POST or None)
    if "preview" in request.POST:
        return _preview(request, vessel, by, sheet)
    if sheet.is_valid() and carry_out(
        measure_volume, sheet.command(vessel), request=request, on=sheet
    ):
        return see_other(resolve_url("tanks:set-up", vessel.pk))
    return _page(request, vessel, by, sheet, status_of(is_bound=sheet.is_bound))


def _preview(request: SignedRequest, vessel: Vessel, by: str, sheet: VolumeSheet) -> HttpResponse:
    is_ready = sheet.is_valid()
    if "HX-Request" in request.headers:
        return render(request, "tanks/_working.html", {"working": sheet.found})
    status = HTTPStatus.OK if is_ready else HTTPStatus.UNPROCESSABLE_ENTITY
    return _page(request, vessel, by, sheet, status)


def _page(
    request: SignedRequest, vessel: Vessel, by: str, sheet: VolumeSheet, status: HTTPStatus
) -> HttpResponse:
    facts = {
        "vessel": vessel,
        "form": sheet,
        "by": by,
        "ways": [(name, each.title) for name, each in SHEETS.items()],
        "working": sheet.found,
    }
    return render(request, "tanks/measure_volume.html", facts, status=status)
