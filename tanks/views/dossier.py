"""The dossier of a start-up: to read, to keep as PDF, and to issue with its hash on record."""

from hashlib import sha256
from typing import Final
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from facility.commands.documents import IssueDocument, issue_document
from facility.forms.sheets import CommandSheet
from facility.paper.draw import draw
from facility.queries import people
from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require
from tanks.models import Cycle
from tanks.paper.dossier import dossier
from tanks.queries.cycles import related
from tanks.queries.dossiers import KIND, issued_for, key_of, record_of

_DEED: Final = "facility.issue-document"


@login_required
@never_cache
@require_GET
def read(request: SignedRequest, cycle_id: UUID) -> HttpResponse:
    return _page(request, _cycle(request, cycle_id), CommandSheet())


@login_required
@never_cache
@require_GET
def pdf(request: SignedRequest, cycle_id: UUID) -> HttpResponse:
    cycle = _cycle(request, cycle_id)
    begun = cycle.started_at.astimezone(cycle.vessel.site.zone)
    named = f'inline; filename="dossier-{cycle.vessel.code}-{begun.date().isoformat()}.pdf"'
    return HttpResponse(
        _bytes(cycle), content_type="application/pdf", headers={"Content-Disposition": named}
    )


@login_required
@require_POST
def issue(request: SignedRequest, cycle_id: UUID) -> HttpResponse:
    """Put the hash of the PDF as it is now on record: the file can be shown to be that one."""
    cycle = _cycle(request, cycle_id)
    site = cycle.vessel.site
    require(request, _DEED, site)
    sheet = CommandSheet(request.POST)
    if not sheet.is_valid():
        return _page(request, cycle, sheet)
    command = IssueDocument(
        id=sheet.cleaned_data["id"],
        site_id=site.pk,
        kind=KIND,
        about=key_of(cycle),
        sha256=sha256(_bytes(cycle)).hexdigest(),
    )
    if not carry_out(issue_document, command, request=request, on=sheet):
        return _page(request, cycle, sheet)
    messages.success(request, "The dossier is issued; its hash is on record.", extra_tags="met")
    return see_other(resolve_url("tanks:dossier-page", cycle.pk))


def _page(request: SignedRequest, cycle: Cycle, sheet: CommandSheet) -> HttpResponse:
    facts = {
        "cycle": cycle,
        "report": dossier(record_of(cycle, at=timezone.now())),
        "issued": issued_for(cycle),
        "form": sheet,
        "may_issue": people.may(request.user, _DEED, cycle.vessel.site),
    }
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "tanks/dossier.html", facts, status=status)


def _cycle(request: SignedRequest, cycle_id: UUID) -> Cycle:
    cycle = get_object_or_404(related(Cycle.objects.open_to(request.user)), pk=cycle_id)
    timezone.activate(cycle.vessel.site.zone)
    return cycle


def _bytes(cycle: Cycle) -> bytes:
    return draw(dossier(record_of(cycle, at=timezone.now())))
