"""A site's start-up policy and limits, each with where it comes from; setting the policy."""

from itertools import groupby
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.models import Site
from facility.queries import people
from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import policies as commands
from tanks.forms.policies import PolicySheet
from tanks.models import Limit
from tanks.queries.policies import limits_at, policy_at
from tanks.rules.limits import NAMES
from tanks.rules.policies import FIGURES
from tanks.views.found import site_of


@login_required
@require_GET
def policies(request: SignedRequest) -> HttpResponse:
    """What each site goes by now."""
    now = timezone.now()
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {"places": [_place(request, site) for site in sites], "now": now, "names": NAMES}
    return render(request, "tanks/policies.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def set_policy(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "tanks.set-policy", site)
    policy = policy_at(site, at=timezone.now())
    sheet = PolicySheet(request.POST or None, site=site, policy=policy)
    if sheet.is_valid() and carry_out(
        commands.set_policy, sheet.command(), request=request, on=sheet
    ):
        messages.success(request, "The policy holds from now on.", extra_tags="done")
        return see_other(resolve_url("tanks:policies"))
    return sheet_page(
        request,
        sheet,
        title=f"Start-up policy of {site.name}",
        sub="Holds for start-ups begun from now on; those under way keep theirs.",
        verb="Set the policy",
        cancel=resolve_url("tanks:policies"),
    )


def _place(request: SignedRequest, site: Site) -> dict[str, object]:
    now = timezone.now()
    policy = policy_at(site, at=now)
    limits = limits_at(site, at=now).order_by("water_kind", "stage", "parameter", "level", "pk")
    return {
        "site": site,
        "policy": policy,
        "figures": [(one.label, getattr(policy, one.name, None), one.unit) for one in FIGURES],
        "groups": [(kind, list(rows)) for kind, rows in groupby(limits, key=_group)],
        "may": people.may(request.user, "tanks.set-policy", site),
    }


def _group(limit: Limit) -> str:
    kind = {"FRESH": "Fresh", "BRACKISH": "Brackish", "MARINE": "Marine"}[limit.water_kind]
    return f"{kind} water, {limit.get_stage_display().lower()}"
