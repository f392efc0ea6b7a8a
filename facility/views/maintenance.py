"""Planned work: while it lasts, nothing of level 2 or 3 is pushed about its place."""

from datetime import datetime
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.commands import maintenance as commands
from facility.forms.alerts import MaintenanceSheet
from facility.models import Maintenance, Site
from facility.queries import alerts as known
from facility.sockets.subjects import place_of
from facility.views.answers import onward, see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require


@login_required
@require_http_methods(["GET", "POST"])
def set_maintenance(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """``?about=`` names a tank; without it areas, the site and what has an alert are offered."""
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    timezone.activate(site.zone)
    require(request, "facility.set-maintenance", site)
    now = timezone.now()
    asked = request.GET.get("about", "")
    offered = _offered(site, asked)
    under_way = _under_way(request, offered[0][0], now)
    sheet = MaintenanceSheet(request.POST or None, offered=offered, initial=_initial(under_way))
    if sheet.is_valid() and carry_out(
        commands.set_maintenance, sheet.command(under_way), request=request, on=sheet
    ):
        messages.success(request, "Planned work is set; it ends by itself.", extra_tags="done")
        return see_other(_back(request))
    return sheet_page(
        request,
        sheet,
        title="Planned work",
        sub="Until it ends, nothing of today or watch is pushed about this place. What asks for "
        "action now still calls, and everything stays on the list.",
        verb="Set anew" if under_way else "Set it",
        cancel=_back(request),
    )


def _offered(site: Site, asked: str) -> list[tuple[str, str]]:
    place = place_of(asked)
    if place is not None and place.site_id == site.pk:
        return [(asked, place.name)]
    areas = site.areas.order_by("hygiene_rank", "name", "pk")
    alerts = {alert.about: alert.name for alert in known.standing_at(site)}
    return [
        *((f"facility.area:{area.pk}", area.name) for area in areas),
        *alerts.items(),
        (f"facility.site:{site.pk}", site.name),
    ]


def _under_way(request: SignedRequest, first: str, now: datetime) -> Maintenance | None:
    """Work already set for the place that was chosen, or that the sheet begins with."""
    return known.maintenance_of([request.POST.get("about", first)], at=now)


def _initial(under_way: Maintenance | None) -> dict[str, object]:
    if under_way is None:
        return {}
    return {
        "why": under_way.why,
        "begins_at": under_way.period.lower,
        "ends_at": under_way.period.upper,
    }


def _back(request: SignedRequest) -> str:
    return onward(request) if "next" in request.GET else resolve_url("facility:alerts")
