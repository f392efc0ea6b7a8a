"""What calls somebody: the list, one alert, accepting it and clearing it."""

from datetime import datetime, timedelta
from typing import Any, Final
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.commands import alerts as commands
from facility.forms.alerts import AcceptSheet, ClearSheet
from facility.models import Alert, Site
from facility.queries import alerts as known
from facility.queries import people
from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require

_CLEARED_SHOWN: Final = timedelta(days=7)


@login_required
@require_GET
def alerts(request: SignedRequest) -> HttpResponse:
    """What stands at the person's sites, theirs first, and what was cleared this week."""
    now = timezone.now()
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    places = [_place(request, site, now) for site in sites]
    return render(request, "facility/alerts.html", {"places": places, "now": now})


@login_required
@require_GET
def alert(request: SignedRequest, alert_id: UUID) -> HttpResponse:
    one = _alert_of(request, alert_id)
    facts = _facts(request, one)
    if facts["may_accept"]:
        facts["form"] = AcceptSheet(advice=_advice(one))
    return render(request, "facility/alert.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def accept_alert(request: SignedRequest, alert_id: UUID) -> HttpResponse:
    one = _alert_of(request, alert_id)
    require(request, "facility.accept-alert", one.site)
    sheet = AcceptSheet(request.POST or None, advice=_advice(one))
    if sheet.is_valid() and carry_out(
        commands.accept_alert, sheet.command(one), request=request, on=sheet
    ):
        messages.success(request, f"You see to {one.name}.", extra_tags="done")
        return see_other(resolve_url("facility:alert", one.pk))
    facts = _facts(request, one) | {"form": sheet, "may_accept": True}
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "facility/alert.html", facts, status=status)


@login_required
@require_http_methods(["GET", "POST"])
def clear_alert(request: SignedRequest, alert_id: UUID) -> HttpResponse:
    one = _alert_of(request, alert_id)
    require(request, "facility.clear-alert", one.site)
    sheet = ClearSheet(request.POST or None, initial={"act": one.act})
    if sheet.is_valid() and carry_out(
        commands.clear_alert, sheet.command(one), request=request, on=sheet
    ):
        messages.success(request, f"Cleared: {one.name}.", extra_tags="done")
        return see_other(resolve_url("facility:alerts"))
    facts = _facts(request, one) | {"form": sheet}
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "facility/clear_alert.html", facts, status=status)


def _alert_of(request: SignedRequest, alert_id: UUID) -> Alert:
    one = get_object_or_404(known.alerts_seen_by(request.user), pk=alert_id)
    timezone.activate(one.site.zone)
    return one


def _place(request: SignedRequest, site: Site, now: datetime) -> dict[str, Any]:
    standing = known.standing_at(site)
    mine = [one for one in standing if request.user.pk in {one.owner_id, one.accepted_by_id}]
    return {
        "site": site,
        "mine": mine,
        "others": [one for one in standing if one not in mine],
        "standing": standing,
        "cleared": known.cleared_since(site, now - _CLEARED_SHOWN),
        "maintained": known.maintained_places(site, at=now),
        "may": people.deeds_of(request.user, site),
    }


def _facts(request: SignedRequest, one: Alert) -> dict[str, Any]:
    now = timezone.now()
    signs = known.signs_now(one)
    may = people.deeds_of(request.user, one.site)
    return {
        "alert": one,
        "signs": signs,
        "passed": [sign for sign in one.signs.all() if sign.passed_at],
        "maintenance": known.maintenance_of(known.around(one, at=now), at=now),
        "now": now,
        "may": may,
        "may_accept": one.cleared_at is None and "facility.accept-alert" in may,
    }


def _advice(one: Alert) -> list[str]:
    return [sign.advice for sign in known.signs_now(one)]
