"""Rounds: one's own, everybody's, the sheet they are drawn up on, and the paper."""

from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from facility.commands.rounds import draw_up_rounds as give
from facility.forms.rounds import PROPOSE, SAVE, DraftSheet, stops_of
from facility.models import Calendar, Site
from facility.paper.draw import draw
from facility.paper.rounds import rounds_report
from facility.queries import people
from facility.queries.drafts import Draft, arranged, proposed, wishes_of
from facility.queries.loose_ends import loose_in
from facility.queries.own_rounds import everybodys, own_round
from facility.queries.rounds import Day, day, in_force
from facility.rules.calendar import is_on_calendar
from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require


@login_required
@require_GET
def round_(request: SignedRequest) -> HttpResponse:
    """The round of whoever is signed in, at each of their sites."""
    now = timezone.now()
    on = _day_asked(request, now)
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {
        "on": on,
        "now": now,
        **_days_beside(on),
        "places": [_own(request, site, on, now) for site in sites],
    }
    return render(request, "facility/round.html", facts)


@login_required
@require_GET
def rounds(request: SignedRequest) -> HttpResponse:
    """Everybody's rounds of a day, and how far they are."""
    now = timezone.now()
    on = _day_asked(request, now)
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {
        "on": on,
        **_days_beside(on),
        "places": [
            {
                "site": site,
                "rounds": everybodys(site, on, at=now),
                "may": people.deeds_of(request.user, site),
            }
            for site in sites
        ],
    }
    return render(request, "facility/rounds.html", facts)


@login_required
@never_cache
@require_GET
def round_paper(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """Rounds of a day as PDF: one's own, or with ``?all`` everybody's."""
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    now = timezone.now()
    on = _day_asked(request, now, site)
    found = everybodys(site, on, at=now)
    if "all" not in request.GET:
        found = [one for one in found if one.person == request.user]
    report = rounds_report(
        found, site_name=site.name, on=on, zone=site.zone, by=request.user.full_name, at=now
    )
    named = f'inline; filename="rounds-{on.isoformat()}.pdf"'
    headers = {"Content-Disposition": named}
    return HttpResponse(draw(report), content_type="application/pdf", headers=headers)


@login_required
@require_http_methods(["GET", "POST"])
def draw_up_rounds(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """What is in force, or a proposal where nothing is; then what the manager makes of it."""
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    require(request, "facility.draw-up-rounds", site)
    now = timezone.now()
    on = _day_asked(request, now, site)
    today = day(site, on, at=now)
    sheet = DraftSheet(request.POST if request.method == "POST" else None)
    draft = _draft(sheet, today)
    if sheet.is_bound and sheet.is_valid() and sheet.told().do == SAVE:
        command = sheet.command(site, on, draft)
        if carry_out(give, command, request=request, on=sheet):
            messages.success(request, "The rounds are drawn up.", extra_tags="done")
            return see_other(f"{resolve_url('facility:rounds')}?on={on.isoformat()}")
    facts = _draft_facts(sheet, today, draft, now)
    # A changed draft is an answer, not a refusal.
    status = status_of(is_bound=bool(sheet.errors))
    return render(request, "facility/draw_up_rounds.html", facts, status=status)


def _draft(sheet: DraftSheet, today: Day) -> Draft:
    if not sheet.is_bound or not sheet.is_valid():
        held = wishes_of(in_force(today.site, today.on).values())
        return arranged(today, held) if held else proposed(today)
    told = sheet.told()
    return proposed(today, told.wishes) if told.do == PROPOSE else arranged(today, told.changed())


def _draft_facts(sheet: DraftSheet, today: Day, draft: Draft, now: datetime) -> dict[str, Any]:
    picked = sheet.told().picked if sheet.is_bound and sheet.is_valid() else frozenset()
    return {
        "site": today.site,
        "on": today.on,
        **_days_beside(today.on),
        "form": sheet,
        "draft": draft,
        "stops": stops_of(draft),
        "picked": picked,
        "is_over": today.on < now.astimezone(today.site.zone).date(),
        "has_rounds": bool(in_force(today.site, today.on)),
    }


def _own(request: SignedRequest, site: Site, on: date, now: datetime) -> dict[str, Any]:
    calendars = Calendar.objects.filter(person=request.user, site=site, closed_at=None)
    return {
        "site": site,
        "round": own_round(request.user, site, on, at=now),
        "loose": loose_in(site, now),
        "may": people.deeds_of(request.user, site),
        "calendars": list(calendars.order_by("opened_at", "pk")),
    }


def _day_asked(request: SignedRequest, now: datetime, site: Site | None = None) -> date:
    """The day in the address, else today by the site's clock or the one now active."""
    today = timezone.localtime(now, site.zone if site else None).date()
    try:
        on = date.fromisoformat(request.GET.get("on", ""))
    except ValueError:
        return today
    return on if is_on_calendar(on.year) else today


def _days_beside(on: date) -> dict[str, date]:
    return {"before": on - timedelta(days=1), "after": on + timedelta(days=1)}
