"""The stocking plan of a water: who enters when, and the feed against the certificate."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.queries import people
from facility.views.answers import see_other, sheet_page, status_of
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import plans as commands
from quarantine.forms.stays import DropSheet, PlanSheet
from quarantine.models import PlannedEntry
from quarantine.queries.plans import stocking_plan
from tanks.models import Vessel
from tanks.queries.waters import water_of
from tanks.views.found import vessel_of


@login_required
@require_http_methods(["GET", "POST"])
def show(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    """The plan, and one line more."""
    vessel, now = vessel_of(request, vessel_id), timezone.now()
    sheet = PlanSheet(request.POST or None, vessel=vessel)
    if request.method == "POST":
        require(request, "quarantine.plan-entry", vessel.site)
        if sheet.is_valid() and carry_out(
            commands.plan_entry, sheet.command(vessel), request=request, on=sheet
        ):
            return see_other(resolve_url("quarantine:stocking-plan", vessel.pk))
    return render(
        request,
        "quarantine/stocking_plan.html",
        _facts(request, vessel, sheet, now),
        status=status_of(is_bound=sheet.is_bound),
    )


@login_required
@require_http_methods(["GET", "POST"])
def drop(request: SignedRequest, planned_id: UUID) -> HttpResponse:
    rows = PlannedEntry.objects.current().filter(vessel__in=Vessel.objects.open_to(request.user))
    planned = get_object_or_404(rows.select_related("vessel__site", "species"), pk=planned_id)
    require(request, "quarantine.drop-planned-entry", planned.vessel.site)
    sheet = DropSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        commands.drop_planned_entry, sheet.command(planned.pk), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:stocking-plan", planned.vessel_id))
    return sheet_page(
        request,
        sheet,
        title=f"Take {planned.count} {planned.species} off the plan",
        sub=f"They were to enter {planned.vessel.code} on {planned.planned_on:%d %b %Y}.",
        verb="Take off the plan",
        cancel=resolve_url("quarantine:stocking-plan", planned.vessel_id),
    )


def _facts(
    request: SignedRequest, vessel: Vessel, sheet: PlanSheet, now: datetime
) -> dict[str, Any]:
    return {
        "vessel": vessel,
        "plan": stocking_plan(water_of(vessel, at=now)),
        "form": sheet,
        "may_plan": people.may(request.user, "quarantine.plan-entry", vessel.site),
        "now": now,
    }
