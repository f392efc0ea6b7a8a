"""Walking past the tanks: which areas there are, and one sheet for each."""

from functools import partial
from http import HTTPStatus
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.models import Area, Site
from facility.queries import people
from facility.views.answers import onward, see_other
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import readings
from tanks.commands.methods import define_method
from tanks.commands.readings import LogReadings, SurprisingValue
from tanks.commands.walks import log_walk as keep_walk
from tanks.forms.walks import WalkSheet
from tanks.models import Method, Reading
from tanks.queries.walks import latest_walk, on_the_way


@login_required
@require_GET
def walks(request: SignedRequest) -> HttpResponse:
    """Each area with its last walk, from clean to dirty."""
    now = timezone.now()
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    places = [
        {
            "site": site,
            "may": people.may(request.user, "tanks.log-walk", site),
            "areas": [
                (area, latest_walk(area, at=now), len(on_the_way(area, at=now)))
                for area in site.areas.order_by("hygiene_rank", "name", "pk")
            ],
        }
        for site in sites
    ]
    return render(request, "tanks/walks.html", {"places": places, "now": now})


@login_required
@require_http_methods(["GET", "POST"])
def log_walk(request: SignedRequest, area_id: UUID) -> HttpResponse:
    """All well except what is marked, and one value for many tanks."""
    known = Area.objects.open_to(request.user).select_related("site")
    area = get_object_or_404(known, pk=area_id)
    timezone.activate(area.site.zone)
    require(request, "tanks.log-walk", area.site)
    now = timezone.now()
    sheet = WalkSheet(
        request.POST or None,
        area=area,
        vessels=on_the_way(area, at=now),
        methods=Method.objects.filter(site=area.site, retired_at=None),
    )
    if sheet.is_valid() and _kept(request, sheet):
        messages.success(request, _told(sheet), extra_tags="done")
        return see_other(onward(request) if "next" in request.GET else resolve_url("tanks:walks"))
    facts = {"area": area, "form": sheet, "now": now, "latest": latest_walk(area, at=now)}
    status = HTTPStatus.UNPROCESSABLE_ENTITY if sheet.is_bound else HTTPStatus.OK
    return render(request, "tanks/log_walk.html", facts, status=status)


def _kept(request: SignedRequest, sheet: WalkSheet) -> bool:
    """Keep the readings one by one, then the walk; sent again, what was kept is found."""
    define = sheet.new_method()
    if define and carry_out(define_method, define, request=request, on=sheet) is None:
        return False
    asking = partial(_asking, sheet)
    confirmed = request.POST.getlist("confirmed")
    kept = [
        carry_out(asking, sample, request=request, on=sheet)
        for sample in sheet.samples(confirmed=confirmed)
    ]
    if not all(kept):
        return False
    return carry_out(keep_walk, sheet.command(), request=request, on=sheet) is not None


def _asking(sheet: WalkSheet, command: LogReadings, **edge: Any) -> Reading:
    """Log, and let the sheet ask about what surprised."""
    try:
        return readings.log_readings(command, **edge)[0]
    except SurprisingValue as refusal:
        sheet.ask(refusal.sentences)
        raise


def _told(sheet: WalkSheet) -> str:
    walk, samples = sheet.command(), len(list(sheet.samples()))
    unwell = len(walk.signs)
    rest = f", all well but {unwell}" if unwell else ", all well"
    readings_told = f" {samples} reading{'s' if samples > 1 else ''} kept." if samples else ""
    return f"{sheet.area.name}: {len(walk.seen)} seen{rest}.{readings_told}"
