"""Who is on and who can do what: the page, and its sheets."""

from typing import Final
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.commands import shifts as commands
from facility.commands import skills as skill_commands
from facility.forms.sheets import Sheet
from facility.forms.shifts import ShiftSheet, SkillSheet
from facility.models import Shift, Site, Skill
from facility.queries import people
from facility.queries.shifts import shifts_ahead, skills_of
from facility.rules.wording import day_and_time
from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require

_DAYS: Final = 14


@login_required
@require_GET
def shifts(request: SignedRequest) -> HttpResponse:
    """The shifts of the next two weeks and the skills, at each of this person's sites."""
    now = timezone.now()
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {
        "days": _DAYS,
        "places": [
            {
                "site": site,
                "shifts": shifts_ahead(site, at=now, days=_DAYS),
                "skills": skills_of(site, at=now),
                "may": people.deeds_of(request.user, site),
            }
            for site in sites
        ],
    }
    return render(request, "facility/shifts.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def set_shift(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    require(request, "facility.set-shift", site)
    with timezone.override(site.zone):
        sheet = ShiftSheet(request.POST or None, site=site)
        if sheet.is_valid() and carry_out(
            commands.set_shift, sheet.command(), request=request, on=sheet
        ):
            messages.success(request, "The shift is set.", extra_tags="done")
            return see_other(resolve_url("facility:shifts"))
        return sheet_page(
            request,
            sheet,
            title=f"Set a shift at {site.name}",
            sub="Rounds go to those who are on.",
            verb="Set it",
            cancel=resolve_url("facility:shifts"),
        )


@login_required
@require_http_methods(["GET", "POST"])
def cancel_shift(request: SignedRequest, shift_id: UUID) -> HttpResponse:
    here = Shift.objects.filter(site__in=Site.objects.open_to(request.user))
    shift = get_object_or_404(here.select_related("site", "person"), pk=shift_id)
    require(request, "facility.cancel-shift", shift.site)
    sheet = Sheet(request.POST if request.method == "POST" else None)
    command = commands.CancelShift(shift_id=shift.pk)
    if sheet.is_valid() and carry_out(commands.cancel_shift, command, request=request, on=sheet):
        return see_other(resolve_url("facility:shifts"))
    since = day_and_time(shift.period.lower, zone=shift.site.zone)
    return sheet_page(
        request,
        sheet,
        title=f"Cancel {shift.person.full_name}'s shift of {since}",
        sub="A round that was drawn up stays with the person until the rounds are drawn up anew.",
        verb="Cancel the shift",
        cancel=resolve_url("facility:shifts"),
    )


@login_required
@require_http_methods(["GET", "POST"])
def grant_skill(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    require(request, "facility.grant-skill", site)
    sheet = SkillSheet(request.POST or None, site=site)
    if sheet.is_valid() and carry_out(
        skill_commands.grant_skill, sheet.command(), request=request, on=sheet
    ):
        messages.success(request, "The skill is granted.", extra_tags="done")
        return see_other(resolve_url("facility:shifts"))
    return sheet_page(
        request,
        sheet,
        title=f"Grant a skill at {site.name}",
        sub="Tasks that ask for a skill are given only to those who have it.",
        verb="Grant it",
        cancel=resolve_url("facility:shifts"),
    )


@login_required
@require_http_methods(["GET", "POST"])
def end_skill(request: SignedRequest, skill_id: UUID) -> HttpResponse:
    here = Skill.objects.filter(site__in=Site.objects.open_to(request.user))
    skill = get_object_or_404(here.select_related("site", "person"), pk=skill_id)
    require(request, "facility.end-skill", skill.site)
    sheet = Sheet(request.POST if request.method == "POST" else None)
    command = skill_commands.EndSkill(skill_id=skill.pk)
    if sheet.is_valid() and carry_out(skill_commands.end_skill, command, request=request, on=sheet):
        return see_other(resolve_url("facility:shifts"))
    return sheet_page(
        request,
        sheet,
        title=f"End {skill.person.full_name}'s skill {skill.name}",
        sub="Tasks that ask for it go to somebody else from now on.",
        verb="End it now",
        cancel=resolve_url("facility:shifts"),
    )
