"""The duties a house of tanks usually has, shown before they are adopted."""

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.forms.sheets import CommandSheet
from facility.rules.patterns import told
from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import duties as commands
from tanks.queries.default_duties import missing_defaults
from tanks.views.found import site_of


@login_required
@require_http_methods(["GET", "POST"])
def adopt_duties(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "tanks.adopt-duties", site)
    missing = missing_defaults(site, at=timezone.now())
    sheet = CommandSheet(request.POST or None)
    if sheet.is_valid():
        command = commands.AdoptDuties(id=sheet.cleaned_data["id"], site_id=site.pk)
        given = carry_out(commands.adopt_duties, command, request=request, on=sheet)
        if given is not None:
            messages.success(request, f"Duties set: {len(given)}.", extra_tags="done")
            return see_other(resolve_url("facility:duties"))
    facts = {
        "form": sheet,
        "site": site,
        "missing": [(one, told(one.default.rule, one.default.clock)) for one in missing],
        "cancel": resolve_url("facility:duties"),
    }
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "tanks/adopt_duties.html", facts, status=status)
