"""What the source waters of each site have read; one value more."""

from itertools import groupby
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.models import Site
from facility.queries import people
from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import source_readings as commands
from tanks.commands.methods import define_method
from tanks.forms.source_readings import SourceReadingSheet
from tanks.models import Method, SourceReading
from tanks.queries.sources import said, source_readings
from tanks.rules.values import PARAMETERS
from tanks.views.found import site_of


@login_required
@require_GET
def show(request: SignedRequest) -> HttpResponse:
    """Each source water with its readings of a month, latest first."""
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {"places": [_place(request, site) for site in sites]}
    return render(request, "tanks/source_readings.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def log_source_reading(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """``?corrects=`` names a reading that the new one takes the place of."""
    site = site_of(request, site_id)
    require(request, "tanks.log-source-reading", site)
    sheet = SourceReadingSheet(
        request.POST or None,
        site=site,
        methods=Method.objects.filter(site=site, retired_at=None),
        corrects=_corrected(request, site),
    )
    if sheet.is_valid() and _log(request, sheet):
        messages.success(request, "The source water's reading is kept.", extra_tags="done")
        return see_other(resolve_url("tanks:source-readings"))
    return sheet_page(
        request,
        sheet,
        title="Correct a source water's reading" if sheet.corrects else "Read a source water",
        sub=f"{site.name}. Read it before it is used; what is off its usual calls somebody.",
        verb="Save",
        cancel=resolve_url("tanks:source-readings"),
    )


def _log(request: SignedRequest, sheet: SourceReadingSheet) -> SourceReading | None:
    new = sheet.new_method()
    if new and carry_out(define_method, new, request=request, on=sheet) is None:
        return None
    return carry_out(commands.log_source_reading, sheet.command(), request=request, on=sheet)


def _corrected(request: SignedRequest, site: Site) -> SourceReading | None:
    wanted = request.GET.get("corrects")
    if not wanted:
        return None
    rows = SourceReading.objects.current().filter(site=site)
    known = {str(pk) for pk in rows.values_list("pk", flat=True)}
    row: SourceReading = get_object_or_404(rows, pk=wanted if wanted in known else None)
    return row


def _place(request: SignedRequest, site: Site) -> dict[str, Any]:
    rows = source_readings(site, at=timezone.now())
    rows.sort(key=lambda row: (row.source, -row.happened_at.timestamp(), str(row.pk)))
    return {
        "site": site,
        "sources": [
            (source, [(row, PARAMETERS[row.parameter], said(row)) for row in some])
            for source, some in groupby(rows, key=lambda row: row.source)
        ],
        "may": people.may(request.user, "tanks.log-source-reading", site),
    }
