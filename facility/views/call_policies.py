"""How long each site waits before it calls the next, who set it and when; setting it."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.commands import call_policies as commands
from facility.forms.call_policies import CallPolicySheet
from facility.models import Site
from facility.queries import people
from facility.queries.calling import call_policy, call_times
from facility.rules.calling import FIGURES, PRACTICE
from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require


@login_required
@require_GET
def call_policies(request: SignedRequest) -> HttpResponse:
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {"places": [_place(request, site) for site in sites], "practice": PRACTICE}
    return render(request, "facility/call_policies.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def set_call_policy(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    require(request, "facility.set-call-policy", site)
    timezone.activate(site.zone)
    sheet = CallPolicySheet(request.POST or None, site=site, policy=call_policy(site))
    if sheet.is_valid() and carry_out(
        commands.set_call_policy, sheet.command(), request=request, on=sheet
    ):
        messages.success(request, "These times hold from now on.", extra_tags="done")
        return see_other(resolve_url("facility:call-policies"))
    return sheet_page(
        request,
        sheet,
        title=f"When {site.name} calls the next",
        sub="Alerts that stand already are called about by the new times too.",
        verb="Set the times",
        cancel=resolve_url("facility:call-policies"),
    )


def _place(request: SignedRequest, site: Site) -> dict[str, Any]:
    times = call_times(site)
    return {
        "site": site,
        "policy": call_policy(site),
        "figures": [(one.label, getattr(times, one.name), one.unit) for one in FIGURES],
        "may": people.may(request.user, "facility.set-call-policy", site),
    }
