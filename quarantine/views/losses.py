"""Losses of a site: by supplier and species, survival, week by week; page, CSV, charts."""

from typing import Any
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from facility.paper.csv import csv_text
from facility.views.signed import SignedRequest
from quarantine.paper.loss_charts import survival_svg, weeks_svg
from quarantine.queries import loss_reports
from quarantine.queries.weekly_deaths import charted
from tanks.rules.charting import INKS, WIDTHS_PX, Theme, nearest_width_px
from tanks.views.found import site_of


@login_required
@require_GET
def losses(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """``?of=`` names the supplier or species whose survival stands beside the others'."""
    site = site_of(request, site_id)
    now = timezone.now()
    families = loss_reports.recent_families(site, at=now)
    of = request.GET.get("of", "")
    survival = loss_reports.survival_of(families, of)
    weekly = charted(site, at=now)
    facts = {
        "site": site,
        "of": of,
        "offered": loss_reports.offered(families),
        "by_supplier": loss_reports.losses_table(families, "supplier"),
        "by_species": loss_reports.losses_table(families, "species"),
        "survival": survival,
        "compared": loss_reports.compared(survival),
        "curves": [
            (name, told, loss_reports.survival_table(name, told))
            for name, told, _ in survival.curves
        ],
        "weekly": weekly,
        "weeks": loss_reports.weeks_table(weekly),
        "themes": tuple(INKS),
        "widths": WIDTHS_PX,
        "query": request.GET.urlencode(),
    }
    return render(request, "quarantine/losses.html", facts)


@login_required
@require_GET
def losses_csv(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    families = loss_reports.recent_families(site, at=timezone.now())
    named = {"Content-Disposition": 'attachment; filename="losses.csv"'}
    text = csv_text(loss_reports.losses_file(families))
    return HttpResponse(text, content_type="text/csv; charset=utf-8", headers=named)


@login_required
@require_GET
def survival_chart(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    families = loss_reports.recent_families(site, at=timezone.now())
    told = loss_reports.survival_of(families, request.GET.get("of", ""))
    return _svg(survival_svg(told.curves, **_asked(request)))


@login_required
@require_GET
def weeks_chart(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    return _svg(weeks_svg(charted(site, at=timezone.now()), **_asked(request)))


def _asked(request: SignedRequest) -> dict[str, Any]:
    width = request.GET.get("width", "")
    asked: Any = request.GET.get("theme", "light")
    theme: Theme = asked if asked in INKS else "light"
    wanted = int(width) if width.isdecimal() and len(width) < 5 else WIDTHS_PX[1]  # noqa: PLR2004  digits of a pixel count
    return {"width_px": nearest_width_px(wanted), "theme": theme}


def _svg(text: str) -> HttpResponse:
    headers = {"Cache-Control": "private, no-cache", "Vary": "Cookie"}
    return HttpResponse(text, content_type="image/svg+xml", headers=headers)
