"""Labels of lots: of one, or of a whole consignment in one go."""

from collections.abc import Iterable, Iterator
from secrets import token_bytes
from typing import Final
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render, resolve_url
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from facility.forms.sheets import Sheet
from facility.paper.labels import A4_3_BY_7, LETTER_2_BY_5, Label, label_sheets
from facility.queries import people
from facility.rules.codes import new_code
from facility.views.answers import see_other
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands.lot_labels import LabelLot, label_lot
from quarantine.forms.arrivals import LabelSheetForm
from quarantine.models import Lot, LotLabel
from quarantine.queries.consignments import arrival_of
from quarantine.views.animals import lot_of
from quarantine.views.consignments import consignment_of

_LAYOUTS: Final = {"a4": A4_3_BY_7, "letter": LETTER_2_BY_5}
_CODE_BYTES: Final = 8


@login_required
@require_http_methods(["GET", "POST"])
def consignment_labels(request: SignedRequest, consignment_id: UUID) -> HttpResponse:
    """GET with ``?paper=`` gives the PDF; POST makes the codes that are missing."""
    row = consignment_of(request, consignment_id)
    lots = arrival_of(row, at=timezone.now()).lots
    if request.method == "POST":
        require(request, "quarantine.label-lot", row.site)
        for lot, label in lots:
            if label is None:
                _label(request, lot)
        return see_other(f"{request.path}?paper=a4" if lots else request.path)
    sheet = LabelSheetForm(request.GET or None)
    labels = [label for _, label in lots if label is not None]
    if sheet.is_valid() and labels and (pdf := _pdf(request, sheet, labels)):
        return HttpResponse(
            pdf,
            content_type="application/pdf",
            headers={"Content-Disposition": 'inline; filename="lot-labels.pdf"'},
        )
    facts = {
        "form": sheet,
        "consignment": row,
        "lots": lots,
        "unlabelled": sum(label is None for _, label in lots),
        "may": people.may(request.user, "quarantine.label-lot", row.site),
    }
    return render(request, "quarantine/lot_labels.html", facts)


@login_required
@require_POST
def label_one(request: SignedRequest, lot_id: UUID) -> HttpResponse:
    lot = lot_of(request, lot_id)
    require(request, "quarantine.label-lot", lot.site)
    _label(request, lot)
    return see_other(resolve_url("quarantine:lot", lot.pk))


@login_required
@require_http_methods(["GET"])
def lot_label_paper(request: SignedRequest, lot_id: UUID) -> HttpResponse:
    """One lot's label as it is printed; 404 in words where it has none yet."""
    lot = lot_of(request, lot_id)
    labels = LotLabel.objects.filter(lot=lot, retired_at=None)
    drawn = list(_drawn(request, labels.select_related("lot__species", "lot__site")))
    return HttpResponse(label_sheets(drawn), content_type="application/pdf")


def _label(request: SignedRequest, lot: Lot) -> None:
    command = LabelLot(lot_id=lot.pk, code=new_code(token_bytes(_CODE_BYTES)))
    carry_out(label_lot, command, request=request, on=Sheet(request.POST))


def _pdf(request: SignedRequest, sheet: LabelSheetForm, labels: Iterable[LotLabel]) -> bytes | None:
    ids = [label.pk for label in labels]
    rows = LotLabel.objects.filter(pk__in=ids).select_related("lot__species", "lot__site")
    drawn = list(_drawn(request, rows.order_by("lot__code")))
    try:
        used = sheet.cleaned_data["used"] or 0
        return label_sheets(drawn, layout=_LAYOUTS[sheet.cleaned_data["paper"]], used=used)
    except ValueError as error:
        sheet.add_error(None, str(error))
        return None


def _drawn(request: SignedRequest, labels: Iterable[LotLabel]) -> Iterator[Label]:
    for label in labels:
        lot = label.lot
        came = lot.acquired_at.astimezone(lot.site.zone)
        yield Label(
            code=label.code,
            name=lot.code,
            place=f"{lot.species.scientific_name} {came.date().isoformat()}",
            url=_address(request, label.code),
        )


def _address(request: SignedRequest, code: str) -> str:
    """In capitals without a closing slash: a QR symbol packs these characters tighter."""
    return request.build_absolute_uri(reverse("tanks:scan", args=[code])).rstrip("/").upper()
