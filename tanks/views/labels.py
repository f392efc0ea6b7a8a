from collections.abc import Iterable, Iterator
from http import HTTPStatus
from typing import Final

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET

from facility.paper.labels import A4_3_BY_7, LETTER_2_BY_5, Label, label_sheets
from facility.views.signed import SignedRequest
from tanks.forms.labels import LabelsSheet
from tanks.models import Label as Printed
from tanks.models import Vessel

_LAYOUTS: Final = {"a4": A4_3_BY_7, "letter": LETTER_2_BY_5}


@login_required
@require_GET
def labels(request: SignedRequest) -> HttpResponse:
    """Choose what to label; the PDF keeps nothing and needs no record."""
    sheet = LabelsSheet(request.GET or None, person=request.user)
    if sheet.is_valid() and (pdf := _pdf(request, sheet)):
        return HttpResponse(
            pdf,
            content_type="application/pdf",
            headers={"Content-Disposition": 'inline; filename="labels.pdf"'},
        )
    status = HTTPStatus.UNPROCESSABLE_ENTITY if sheet.is_bound else HTTPStatus.OK
    return render(request, "tanks/labels.html", {"form": sheet}, status=status)


def _pdf(request: SignedRequest, sheet: LabelsSheet) -> bytes | None:
    """Return the label sheets, or None with the reason on the sheet."""
    layout = _LAYOUTS[sheet.cleaned_data["paper"]]
    drawn = list(_drawn(request, sheet.chosen()))
    try:
        return label_sheets(drawn, layout=layout, used=sheet.cleaned_data["used"] or 0)
    except ValueError as error:
        sheet.add_error(None, str(error))
        return None


def _drawn(request: SignedRequest, vessels: Iterable[Vessel]) -> Iterator[Label]:
    vessels = list(vessels)
    codes = _codes(vessels)
    for vessel in vessels:
        if code := codes.get(vessel.pk):
            yield Label(
                code=code,
                name=f"{vessel.code} {vessel.name}".strip(),
                place=f"{vessel.area.name}, {vessel.site.name}",
                url=_address(request, code),
            )


def _codes(vessels: Iterable[Vessel]) -> dict[object, str]:
    """The newest label in use of each vessel."""
    rows = Printed.objects.filter(vessel__in=vessels, retired_at=None).order_by("made_at", "code")
    return {row.vessel_id: row.code for row in rows}


def _address(request: SignedRequest, code: str) -> str:
    """In capitals without a closing slash: a QR symbol packs these characters tighter."""
    return request.build_absolute_uri(reverse("tanks:scan", args=[code])).rstrip("/").upper()
