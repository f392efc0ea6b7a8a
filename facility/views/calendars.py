"""The address of one's own rounds for a calendar program: opened, closed, and read."""

from datetime import timedelta
from secrets import token_urlsafe
from typing import Final
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from facility.commands import calendars as commands
from facility.forms.sheets import CommandSheet, Sheet
from facility.models import Calendar, Site
from facility.paper.calendars import stream
from facility.queries.calendars import calendar_at
from facility.queries.handsets import digest_of
from facility.queries.own_rounds import around
from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require

_BEFORE: Final = timedelta(days=7)
_AFTER: Final = timedelta(days=28)


@login_required
@never_cache
@require_http_methods(["GET", "POST"])
def open_calendar(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """The address is shown once: only its hash is kept."""
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    require(request, "facility.open-calendar", site)
    sheet, token = CommandSheet(request.POST or None), token_urlsafe(32)
    if sheet.is_valid():
        command = commands.OpenCalendar(
            id=sheet.cleaned_data["id"], site_id=site.pk, token_sha256=digest_of(token)
        )
        if carry_out(commands.open_calendar, command, request=request, on=sheet):
            address = request.build_absolute_uri(resolve_url("facility:calendar", token))
            return render(request, "facility/calendar.html", {"address": address, "site": site})
    return sheet_page(
        request,
        sheet,
        title="Your rounds in a calendar",
        sub=f"Opens an address from which a calendar program reads your rounds at {site.name}. "
        "Whoever has the address can read them without signing in; close it when it gets about.",
        verb="Open the address",
        cancel=resolve_url("facility:round"),
    )


@login_required
@require_http_methods(["GET", "POST"])
def close_calendar(request: SignedRequest, calendar_id: UUID) -> HttpResponse:
    here = Calendar.objects.filter(site__in=Site.objects.open_to(request.user))
    calendar = get_object_or_404(here.select_related("site"), pk=calendar_id)
    require(request, "facility.close-calendar", calendar.site)
    if calendar.person_id != request.user.pk:
        raise Http404("This calendar is somebody else's.")
    sheet = Sheet(request.POST if request.method == "POST" else None)
    command = commands.CloseCalendar(calendar_id=calendar.pk)
    if sheet.is_valid() and carry_out(commands.close_calendar, command, request=request, on=sheet):
        return see_other(resolve_url("facility:round"))
    return sheet_page(
        request,
        sheet,
        title="Close the address of your rounds",
        sub="Calendar programs that read it find nothing there any more.",
        verb="Close it now",
        cancel=resolve_url("facility:round"),
    )


@require_safe
@never_cache
def calendar(request: HttpRequest, token: str) -> HttpResponse:
    """The rounds themselves, to whoever has the address."""
    found = calendar_at(token)
    if found is None:
        raise Http404("There is no calendar at this address.")
    now = timezone.now()
    today = now.astimezone(found.site.zone).date()
    rounds = around(found.person, found.site, today, at=now, before=_BEFORE, after=_AFTER)
    root = request.build_absolute_uri("/").rstrip("/")
    body = stream(rounds, name=f"Rounds of {found.person.full_name}, {found.site.name}", root=root)
    return HttpResponse(body, content_type="text/calendar; charset=utf-8")
