"""How long animals stay at each site and what bears on their clock, each with its source."""

from collections.abc import Iterable
from typing import Any
from uuid import UUID, uuid4

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from facility.forms.sheets import CommandSheet
from facility.models import Site
from facility.queries import people
from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import life_cycles
from quarantine.commands import stay_rules as commands
from quarantine.forms.stay_rules import LifeCycleSheet, StayPolicySheet, StayRuleSheet
from quarantine.models import Species, StayPolicy, StayRule
from quarantine.queries.stay_rules import stay_rules_at
from quarantine.rules.stay_defaults import EDITION, rules_offered
from quarantine.rules.stays import RuleValues
from tanks.views.found import site_of


@login_required
@require_GET
def show(request: SignedRequest) -> HttpResponse:
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {"places": [_place(request, site) for site in sites], "edition": EDITION}
    return render(request, "quarantine/stay_rules.html", facts)


@login_required
@require_POST
def adopt(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "quarantine.adopt-stay-rules", site)
    sheet = CommandSheet(request.POST)
    if sheet.is_valid():
        command = commands.AdoptStayRules(id=sheet.cleaned_data["id"], site_id=site.pk)
        if carry_out(commands.adopt_stay_rules, command, request=request, on=sheet):
            messages.success(request, "The rules are the site's own now.", extra_tags="done")
            return see_other(resolve_url("quarantine:stay-rules"))
    for sentence in sheet.non_field_errors():
        messages.warning(request, str(sentence), extra_tags="unknown")
    return see_other(resolve_url("quarantine:stay-rules"))


@login_required
@require_http_methods(["GET", "POST"])
def set_rule(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "quarantine.set-stay-rule", site)
    sheet = StayRuleSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        commands.set_stay_rule, sheet.command(site), request=request, on=sheet
    ):
        messages.success(request, "It holds from now on.", extra_tags="done")
        return see_other(resolve_url("quarantine:stay-rules"))
    return sheet_page(
        request,
        sheet,
        title="Set the fewest days of a stay",
        sub=f"At {site.name}, in place of what was set for the same. Clocks are told anew by it.",
        verb="Set the days",
        cancel=resolve_url("quarantine:stay-rules"),
    )


@login_required
@require_http_methods(["GET", "POST"])
def set_life_cycle(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "quarantine.set-life-cycle", site)
    sheet = LifeCycleSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        life_cycles.set_life_cycle, sheet.command(site), request=request, on=sheet
    ):
        messages.success(request, "It holds from now on.", extra_tags="done")
        return see_other(resolve_url("quarantine:stay-rules"))
    return sheet_page(
        request,
        sheet,
        title="Set a parasite's life cycle",
        sub=f"At {site.name}. The coldest day logged since the last entry sets its pace.",
        verb="Set the life cycle",
        cancel=resolve_url("quarantine:stay-rules"),
    )


@login_required
@require_http_methods(["GET", "POST"])
def set_policy(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "quarantine.set-stay-policy", site)
    policy = stay_rules_at(site, at=timezone.now()).policy
    sheet = StayPolicySheet(request.POST or None, policy=policy)
    if sheet.is_valid() and carry_out(
        commands.set_stay_policy, sheet.command(site), request=request, on=sheet
    ):
        messages.success(request, "It holds from now on.", extra_tags="done")
        return see_other(resolve_url("quarantine:stay-rules"))
    return sheet_page(
        request,
        sheet,
        title=f"What bears on a stay at {site.name}",
        sub="Clocks and releases are judged anew by it.",
        verb="Set it",
        cancel=resolve_url("quarantine:stay-rules"),
    )


def _place(request: SignedRequest, site: Site) -> dict[str, Any]:
    known = stay_rules_at(site, at=timezone.now())
    words = dict(StayPolicy.Effect.choices)
    policy = known.policy
    return {
        "site": site,
        "known": known,
        "rules": _told(known.rules),
        "offered": _told(rules_offered(site.jurisdiction)),
        "effects": {
            "treatment": words[policy.on_treatment],
            "death": words[policy.on_death],
            "pathogen": words[policy.on_pathogen],
        },
        "may": people.deeds_of(request.user, site),
        "adopt_id": uuid4(),
    }


def _told(rules: Iterable[RuleValues]) -> list[tuple[RuleValues, str, str]]:
    """Each with its purpose and group in words."""
    return [
        (
            rule,
            str(StayRule.Purpose(rule.purpose).label),
            str(Species.Group(rule.group).label) if rule.group else "Any",
        )
        for rule in rules
    ]
