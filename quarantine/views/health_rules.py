"""When deaths and refused feed call at a site: every rule with its figures and source."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.forms.sheets import CommandSheet
from facility.models import Site
from facility.queries import people
from facility.rules.wording import written
from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import health_rules as commands
from quarantine.forms.health_rules import HealthRuleSheet
from quarantine.models import HealthRule
from quarantine.queries.baselines import own_baseline
from quarantine.queries.health_rules import missing_rules, rules_in_force
from quarantine.rules.health_defaults import EDITION
from quarantine.rules.health_figures import FIGURES
from tanks.views.found import site_of


@login_required
@require_GET
def health_rules(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    now = timezone.now()
    rules = rules_in_force(site, at=now)
    missing = missing_rules(site)
    facts = {
        "site": site,
        "rules": [(rule, _figures(rule.figures)) for rule in rules],
        "missing": [(rule, _figures(rule.figures)) for rule in missing],
        "edition": EDITION,
        "baseline": own_baseline(site, at=now),
        "may": people.deeds_of(request.user, site),
    }
    return render(request, "quarantine/health_rules.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def adopt(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "quarantine.adopt-health-rules", site)
    sheet = CommandSheet(request.POST or None)
    if sheet.is_valid():
        command = commands.AdoptHealthRules(id=sheet.cleaned_data["id"], site_id=site.pk)
        if carry_out(commands.adopt_health_rules, command, request=request, on=sheet) is not None:
            messages.success(request, "The rules are the site's own now.", extra_tags="done")
            return see_other(resolve_url("quarantine:health-rules", site.pk))
    return sheet_page(
        request,
        sheet,
        title="Make the shipped rules the site's own",
        sub=f"Edition {EDITION}. They call as shipped already; adopted, each can be set anew.",
        verb="Adopt them",
        cancel=resolve_url("quarantine:health-rules", site.pk),
    )


@login_required
@require_http_methods(["GET", "POST"])
def set_health_rule(request: SignedRequest, health_rule_id: UUID) -> HttpResponse:
    here = HealthRule.objects.filter(site__in=Site.objects.open_to(request.user))
    rule = get_object_or_404(here.select_related("site"), pk=health_rule_id)
    require(request, "quarantine.set-health-rule", rule.site)
    sheet = HealthRuleSheet(request.POST or None, rule=rule)
    if sheet.is_valid() and carry_out(
        commands.set_health_rule, sheet.command(), request=request, on=sheet
    ):
        messages.success(request, f"{rule.title}: set from now on.", extra_tags="done")
        return see_other(resolve_url("quarantine:health-rules", rule.site_id))
    return sheet_page(
        request,
        sheet,
        title=rule.title,
        sub=f"A rule about deaths at {rule.site.name}. What stands now is judged anew by it.",
        verb="Set the rule",
        cancel=resolve_url("quarantine:health-rules", rule.site_id),
    )


def _figures(figures: Mapping[str, Any]) -> list[str]:
    return [
        f"{words.partition(' (')[0]}: {written(figures[name])}"
        for name, (words, _, _) in FIGURES.items()
        if name in figures
    ]
