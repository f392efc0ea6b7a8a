"""Reports that were kept: the list, each as page, PDF and CSV, and keeping one by hand."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.commands.reports import keep_report as give
from facility.forms.reports import KeepReportSheet, key_of
from facility.models import KeptReport, Site
from facility.paper.csv import csv_text
from facility.paper.draw import draw
from facility.paper.reports import kept_report, tables_of
from facility.queries import people
from facility.queries.reports import digest_now, kept_at, not_kept, reports_seen_by
from facility.rules.periods import period_of, spelled
from facility.sockets.reports import report_sources
from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require


@login_required
@require_GET
def reports(request: SignedRequest) -> HttpResponse:
    """What was kept at each of this person's sites, and what waits to be."""
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {"places": [_place(request, site) for site in sites]}
    return render(request, "facility/reports.html", facts)


@login_required
@require_GET
def report(request: SignedRequest, report_id: UUID) -> HttpResponse:
    """One report as kept, and whether it would be the same today."""
    kept = _kept(request, report_id)
    part = request.GET.get("part", "")
    document = kept_report(kept, part=part)
    facts = {
        "kept": kept,
        "report": document,
        "part": part,
        "parts": report_sources[kept.kind].parts(kept.content),
        "tables": [title for title, _ in tables_of(document.sections)],
        "digest_now": digest_now(kept),
        "period": key_of(period_of(kept.kind, kept.begins_on)),
        "may_keep": people.may(request.user, "facility.keep-report", kept.site),
    }
    return render(request, "facility/report.html", facts)


@login_required
@require_GET
def report_paper(request: SignedRequest, report_id: UUID) -> HttpResponse:
    kept = _kept(request, report_id)
    document = kept_report(kept, part=request.GET.get("part", ""))
    headers = {"Content-Disposition": f'inline; filename="{_file_name(kept)}.pdf"'}
    return HttpResponse(draw(document), content_type="application/pdf", headers=headers)


@login_required
@require_GET
def report_csv(request: SignedRequest, report_id: UUID) -> HttpResponse:
    """One table of the report; ``?table=`` counts from 1."""
    kept = _kept(request, report_id)
    tables = tables_of(kept_report(kept, part=request.GET.get("part", "")).sections)
    wanted = request.GET.get("table", "1")
    if not wanted.isdecimal() or not 1 <= int(wanted[:4]) <= len(tables):
        raise Http404("The report has no such table.")
    named = f'attachment; filename="{_file_name(kept)}-{int(wanted)}.csv"'
    return HttpResponse(
        csv_text(tables[int(wanted) - 1][1]),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": named},
    )


@login_required
@require_http_methods(["GET", "POST"])
def keep_report(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """Keep a report as the facts stand now, beside those kept before."""
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    require(request, "facility.keep-report", site)
    sheet = KeepReportSheet(
        request.POST or None,
        site=site,
        at=timezone.now(),
        initial={"period": request.GET.get("period", "")},
    )
    if sheet.is_valid() and (kept := carry_out(give, sheet.command(), request=request, on=sheet)):
        messages.success(request, "The report is kept.", extra_tags="done")
        return see_other(resolve_url("facility:report", kept.pk))
    return sheet_page(
        request,
        sheet,
        title=f"Keep a report of {site.name}",
        sub="The house keeps one of each week and month by itself. Kept again after corrections, "
        "both stay; while nothing has changed, it stays the one kept before.",
        verb="Keep it",
        cancel=resolve_url("facility:reports"),
    )


def _place(request: SignedRequest, site: Site) -> dict[str, Any]:
    kept = kept_at(site)
    return {
        "site": site,
        "kept": [
            (one, spelled(period_of(one.kind, one.begins_on)), report_sources[one.kind].title)
            for one in kept
        ],
        "waiting": [spelled(period) for period in not_kept(site, at=timezone.now())],
        "may": people.deeds_of(request.user, site),
    }


def _kept(request: SignedRequest, report_id: UUID) -> KeptReport:
    kept = get_object_or_404(reports_seen_by(request.user), pk=report_id)
    timezone.activate(kept.site.zone)
    return kept


def _file_name(kept: KeptReport) -> str:
    return f"report-{kept.kind.lower()}-{kept.begins_on.isoformat()}"
