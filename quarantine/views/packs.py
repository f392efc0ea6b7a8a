"""The release pack of a lot: to read, as PDF, and issued with its hash on record."""

from hashlib import sha256
from http import HTTPStatus
from typing import Final
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from facility.commands.documents import IssueDocument, issue_document
from facility.forms.sheets import CommandSheet
from facility.paper.csv import csv_text
from facility.paper.draw import draw
from facility.queries import people
from facility.sockets.paper import Report, Table
from facility.views.answers import see_other
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.models import Lot
from quarantine.paper.movements import movement_table
from quarantine.paper.packs import pack
from quarantine.queries.packs import story_of
from quarantine.queries.records import issued, kept

_DEED: Final = "facility.issue-document"
_KIND: Final = "quarantine.release-pack"


@login_required
@never_cache
@require_GET
def read(request: SignedRequest, lot_id: UUID) -> HttpResponse:
    return _page(request, _lot(request, lot_id), CommandSheet())


@login_required
@never_cache
@require_GET
def pdf(request: SignedRequest, lot_id: UUID) -> HttpResponse:
    lot = _lot(request, lot_id)
    named = f'inline; filename="release-pack-{lot.code}.pdf"'
    return HttpResponse(
        draw(_report(lot)), content_type="application/pdf", headers={"Content-Disposition": named}
    )


@login_required
@never_cache
@require_GET
def csv(request: SignedRequest, lot_id: UUID) -> HttpResponse:
    """The lot's movements, line by line."""
    lot = _lot(request, lot_id)
    known = kept(lot.site, since=lot.acquired_at, until=timezone.now(), lot=lot)
    if known is None:
        raise Http404("Nothing is on record about this lot yet.")
    table = movement_table(known)
    own = tuple(row for row in table.rows if row[2] == lot.code)
    named = f'attachment; filename="release-pack-{lot.code}.csv"'
    return HttpResponse(
        csv_text(Table(table.columns, own, table.widths)),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": named},
    )


@login_required
@require_POST
def issue(request: SignedRequest, lot_id: UUID) -> HttpResponse:
    lot = _lot(request, lot_id)
    require(request, _DEED, lot.site)
    sheet = CommandSheet(request.POST)
    if not sheet.is_valid():
        return _page(request, lot, sheet)
    command = IssueDocument(
        id=sheet.cleaned_data["id"],
        site_id=lot.site_id,
        kind=_KIND,
        about=_key(lot),
        sha256=sha256(draw(_report(lot))).hexdigest(),
    )
    if not carry_out(issue_document, command, request=request, on=sheet):
        return _page(request, lot, sheet)
    messages.success(request, "The pack is issued; its hash is on record.", extra_tags="met")
    return see_other(resolve_url("quarantine:release-pack", lot.pk))


def _page(request: SignedRequest, lot: Lot, sheet: CommandSheet) -> HttpResponse:
    facts = {
        "lot": lot,
        "report": _report(lot),
        "issued": issued(_KIND, _key(lot)),
        "form": sheet,
        "may_issue": people.may(request.user, _DEED, lot.site),
    }
    status = HTTPStatus.UNPROCESSABLE_ENTITY if sheet.is_bound else HTTPStatus.OK
    return render(request, "quarantine/release_pack.html", facts, status=status)


def _report(lot: Lot) -> Report:
    story = story_of(lot, at=timezone.now())
    if story is None:
        raise Http404("Nothing is on record about this lot yet.")
    return pack(story)


def _lot(request: SignedRequest, lot_id: UUID) -> Lot:
    known = Lot.objects.open_to(request.user)
    rows = known.select_related("site", "species", "supplier", "consignment")
    lot: Lot = get_object_or_404(rows, pk=lot_id)
    timezone.activate(lot.site.zone)
    return lot


def _key(lot: Lot) -> str:
    return f"quarantine.lot:{lot.pk}"
