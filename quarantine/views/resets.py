"""Tanks that are emptied and disinfected, each step when it was done."""

from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.models import Site
from facility.queries import people
from facility.views.answers import see_other, sheet_page, status_of
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import resets as commands
from quarantine.forms.resets import ResetSheet, ResetStepSheet
from quarantine.models import TankReset
from quarantine.queries.resets import ResetNow, past_resets_at, reset_now, resets_at
from quarantine.rules.resets import BATHS, CHLORINE_ZERO, GIVEN_UP, ORDER, STATES
from tanks.models import Vessel
from tanks.views.found import vessel_of


@login_required
@require_GET
def every(request: SignedRequest) -> HttpResponse:
    """Resets under way, and the latest that ended."""
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    places = [
        {
            "site": site,
            "running": [_shown(one) for one in resets_at(site)],
            "past": [_shown(one) for one in past_resets_at(site)],
        }
        for site in sites
    ]
    return render(request, "quarantine/resets.html", {"places": places, "now": timezone.now()})


@login_required
@require_http_methods(["GET", "POST"])
def start_reset(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    vessel = vessel_of(request, vessel_id)
    require(request, "quarantine.start-reset", vessel.site)
    sheet = ResetSheet(request.POST or None)
    if sheet.is_valid() and (
        reset := carry_out(commands.start_reset, sheet.command(vessel), request=request, on=sheet)
    ):
        return see_other(resolve_url("quarantine:reset", reset.pk))
    facts = {"form": sheet, "vessel": vessel, "baths": BATHS}
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "quarantine/start_reset.html", facts, status=status)


@login_required
@require_GET
def show(request: SignedRequest, reset_id: UUID) -> HttpResponse:
    reset = _reset(request, reset_id)
    now = reset_now(reset)
    may = people.may(request.user, "quarantine.take-reset-step", reset.vessel.site)
    step = now.standing.next_step
    facts = {
        **_shown(now),
        "form": ResetStepSheet(reset=reset, step=step) if step and may else None,
        "needs_reading": step == CHLORINE_ZERO,
        "now": timezone.now(),
        "ladder": _ladder(now),
        "may": may,
    }
    return render(request, "quarantine/reset.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def take_reset_step(request: SignedRequest, reset_id: UUID) -> HttpResponse:
    """The next step; ``?give-up`` ends the reset where it is."""
    reset = _reset(request, reset_id)
    require(request, "quarantine.take-reset-step", reset.vessel.site)
    gives_up = "give-up" in request.GET
    step = GIVEN_UP if gives_up else reset_now(reset).standing.next_step or GIVEN_UP
    sheet = ResetStepSheet(request.POST or None, reset=reset, step=step)
    if sheet.is_valid() and carry_out(
        commands.take_reset_step, sheet.command(), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:reset", reset.pk))
    return sheet_page(
        request,
        sheet,
        title=f"{reset.vessel.code}: {STATES[step].lower()}",
        sub="Say why in the note; the tank is not ready." if gives_up else "",
        verb="Give up the reset" if gives_up else "Record the step",
        cancel=resolve_url("quarantine:reset", reset.pk),
    )


def _reset(request: SignedRequest, reset_id: UUID) -> TankReset:
    known = TankReset.objects.filter(vessel__in=Vessel.objects.open_to(request.user))
    rows = known.select_related("vessel__site", "vessel__area", "by", "incident")
    reset: TankReset = get_object_or_404(rows, pk=reset_id)
    timezone.activate(reset.vessel.site.zone)
    return reset


def _shown(now: ResetNow) -> dict[str, object]:
    return {
        "reset": now.reset,
        "vessel": now.reset.vessel,
        "standing": now.standing,
        "state": STATES[now.standing.state],
        "next_step": STATES.get(now.standing.next_step or ""),
        "bleach_ml": now.bleach_ml,
        "thiosulfate_g": now.thiosulfate_g,
    }


def _ladder(now: ResetNow) -> list[dict[str, object]]:
    """Every step with when it was done, and the one that comes next."""
    done = {step.step: step for step in now.steps}
    rows: list[dict[str, object]] = [
        {"name": STATES[step], "done": done.get(step), "is_next": step == now.standing.next_step}
        for step in ORDER
    ]
    if GIVEN_UP in done:
        rows.append({"name": STATES[GIVEN_UP], "done": done[GIVEN_UP], "is_next": False})
    return rows
