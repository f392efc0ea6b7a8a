"""The records a house owes: to read, as PDF and CSV, and issued with their hash on record."""

from hashlib import sha256
from http import HTTPStatus
from typing import Final
from urllib.parse import urlencode
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import render, resolve_url
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from facility.commands.documents import IssueDocument, issue_document
from facility.forms.sheets import CommandSheet
from facility.models import Site
from facility.paper.csv import csv_text
from facility.paper.draw import draw
from facility.paper.sheet import A4_ACROSS
from facility.queries import people
from facility.sockets.paper import Report
from facility.views.answers import see_other
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.forms.records import period_sheet
from quarantine.models import Lot
from quarantine.paper.records import main_table, record
from quarantine.queries.records import issued, kept
from quarantine.rules.record_notes import SAYS, TITLES
from tanks.views.found import site_of

_DEED: Final = "facility.issue-document"


@login_required
@never_cache
@require_GET
def every(request: SignedRequest) -> HttpResponse:
    """Each record of each site, and the lots with their release packs."""
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    places = [
        {
            "site": site,
            "records": [(name, TITLES[name], SAYS[name]) for name in TITLES],
            "lots": Lot.objects.filter(site=site).select_related("species").order_by("-code")[:200],
        }
        for site in sites
    ]
    return render(request, "quarantine/records.html", {"places": places})


@login_required
@never_cache
@require_GET
def read(request: SignedRequest, site_id: UUID, record_name: str) -> HttpResponse:
    """``?since=`` and ``?until=`` are days; without them three years up to now."""
    site = _site(request, site_id, record_name)
    return _page(request, site, record_name, CommandSheet())


@login_required
@never_cache
@require_GET
def pdf(request: SignedRequest, site_id: UUID, record_name: str) -> HttpResponse:
    site = _site(request, site_id, record_name)
    return HttpResponse(
        _bytes(_report(request, site, record_name)),
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{record_name}.pdf"'},
    )


@login_required
@never_cache
@require_GET
def csv(request: SignedRequest, site_id: UUID, record_name: str) -> HttpResponse:
    """The record's main table."""
    site = _site(request, site_id, record_name)
    return HttpResponse(
        csv_text(main_table(_report(request, site, record_name))),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{record_name}.csv"'},
    )


@login_required
@require_POST
def issue(request: SignedRequest, site_id: UUID, record_name: str) -> HttpResponse:
    """Put the hash of the PDF as it is now on record."""
    site = _site(request, site_id, record_name)
    require(request, _DEED, site)
    sheet = CommandSheet(request.POST)
    if not sheet.is_valid():
        return _page(request, site, record_name, sheet)
    command = IssueDocument(
        id=sheet.cleaned_data["id"],
        site_id=site.pk,
        kind=f"quarantine.{record_name}",
        about=_key(site),
        sha256=sha256(_bytes(_report(request, site, record_name))).hexdigest(),
    )
    if not carry_out(issue_document, command, request=request, on=sheet):
        return _page(request, site, record_name, sheet)
    messages.success(request, "It is issued; its hash is on record.", extra_tags="met")
    page = resolve_url("quarantine:record", site.pk, record_name)
    return see_other(f"{page}?{_asked(request)}")


def _page(
    request: SignedRequest, site: Site, record_name: str, sheet: CommandSheet
) -> HttpResponse:
    facts = {
        "site": site,
        "record_name": record_name,
        "report": _report(request, site, record_name),
        "asked": _asked(request),
        "period": period_sheet(request.GET),
        "issued": issued(f"quarantine.{record_name}", _key(site)),
        "form": sheet,
        "may_issue": people.may(request.user, _DEED, site),
    }
    status = HTTPStatus.UNPROCESSABLE_ENTITY if sheet.is_bound else HTTPStatus.OK
    return render(request, "quarantine/record.html", facts, status=status)


def _report(request: SignedRequest, site: Site, record_name: str) -> Report:
    since, until = period_sheet(request.GET).period(site, at=timezone.now())
    known = kept(site, since=since, until=until)
    if known is None:
        raise Http404("Nothing is on record at this site yet.")
    return record(record_name, known)


def _site(request: SignedRequest, site_id: UUID, record_name: str) -> Site:
    site = site_of(request, site_id)
    if record_name not in TITLES:
        raise Http404("There is no such record.")
    return site


def _asked(request: SignedRequest) -> str:
    given = {name: request.GET[name] for name in ("since", "until") if request.GET.get(name)}
    return urlencode(given)


def _bytes(report: Report) -> bytes:
    return draw(report, on=A4_ACROSS)


def _key(site: Site) -> str:
    return f"facility.site:{site.pk}"
