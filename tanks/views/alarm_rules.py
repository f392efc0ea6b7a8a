"""A site's alarm rules, each with its figures and source; changing or ending one."""

from collections.abc import Iterator
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
from facility.views.answers import see_other, sheet_page, status_of
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import alarm_rules as commands
from tanks.commands.alarm_adoption import AdoptAlarmRules, adopt_alarm_rules
from tanks.forms.alarm_rules import AlarmRuleSheet
from tanks.models import AlarmRule
from tanks.queries.alarm_adoption import missing_rules
from tanks.queries.alarms import rules_in_force
from tanks.rules.alarm_defaults import EDITION
from tanks.rules.alarm_values import AlarmValues
from tanks.rules.alarms.figures import figures_of
from tanks.rules.alarms.reported import CALLED
from tanks.views.found import site_of


@login_required
@require_GET
def alarm_rules(request: SignedRequest) -> HttpResponse:
    """What calls somebody at each site now, and how it is judged."""
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    places = [_place(request, site) for site in sites]
    return render(request, "tanks/alarm_rules.html", {"places": places})


@login_required
@require_http_methods(["GET", "POST"])
def set_alarm_rule(request: SignedRequest, rule_id: UUID) -> HttpResponse:
    here = AlarmRule.objects.filter(site__in=Site.objects.open_to(request.user))
    rule = get_object_or_404(here.select_related("site"), pk=rule_id)
    require(request, "tanks.set-alarm-rule", rule.site)
    sheet = AlarmRuleSheet(request.POST or None, rule=rule)
    if sheet.is_valid() and carry_out(
        commands.set_alarm_rule, sheet.command(), request=request, on=sheet
    ):
        messages.success(request, f"{rule.title}: set from now on.", extra_tags="done")
        return see_other(resolve_url("tanks:alarm-rules"))
    return sheet_page(
        request,
        sheet,
        title=rule.title,
        sub=f"An alarm rule of {rule.site.name}. What stands now is judged anew by it.",
        verb="Set the rule",
        cancel=resolve_url("tanks:alarm-rules"),
    )


@login_required
@require_http_methods(["GET", "POST"])
def adopt(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """The shipped rules the site never had, shown before they are adopted."""
    site = site_of(request, site_id)
    require(request, "tanks.adopt-alarm-rules", site)
    sheet = CommandSheet(request.POST or None)
    if sheet.is_valid():
        command = AdoptAlarmRules(id=sheet.cleaned_data["id"], site_id=site.pk)
        given = carry_out(adopt_alarm_rules, command, request=request, on=sheet)
        if given is not None:
            messages.success(request, f"Alarm rules adopted: {len(given)}.", extra_tags="done")
            return see_other(resolve_url("tanks:alarm-rules"))
    missing = [(one, list(_figures(one))) for one in missing_rules(site)]
    facts = {"form": sheet, "site": site, "missing": missing, "edition": EDITION}
    facts["cancel"] = resolve_url("tanks:alarm-rules")
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "tanks/adopt_alarm_rules.html", facts, status=status)


def _place(request: SignedRequest, site: Site) -> dict[str, Any]:
    rows = rules_in_force(site, at=timezone.now())
    return {
        "site": site,
        "edition": EDITION,
        "rules": [(row, list(_figures(row))) for row in rows],
        "may": people.may(request.user, "tanks.set-alarm-rule", site),
        "may_adopt": people.may(request.user, "tanks.adopt-alarm-rules", site),
        "missing": len(missing_rules(site)),
    }


def _figures(row: AlarmRule | AlarmValues) -> Iterator[str]:
    """Every figure of the rule in words, its lists too."""
    for figure in figures_of(row.figures, parameter=row.parameter):
        value = f"{written(row.figures[figure.name])} {figure.unit}".strip()
        yield f"{figure.label}: {value}".replace("degC", "°C")
    for least, words in row.figures.get("ladder", ()):
        yield f"From {written(least)} mg/L as N: {words}"
    if reports := row.figures.get("reports"):
        yield f"Called for by: {'; '.join(CALLED.get(kind, kind) for kind in reports)}"
    if kinds := row.figures.get("explained_by"):
        yield f"Explained by: {', '.join(kinds).replace('-', ' ')}"
