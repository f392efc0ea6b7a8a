"""Start-ups: begin one, follow it, end it."""

from http import HTTPStatus
from typing import Any
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from facility.queries import people
from facility.views.answers import see_other, sheet_page, status_of
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import cycles as commands
from tanks.forms.cycles import EndCycleSheet, StartCycleSheet
from tanks.models import Cycle, Vessel
from tanks.queries.advising import first_steps, tests
from tanks.queries.cycles import course, latest_forecast, open_cycle_in
from tanks.queries.following import follow
from tanks.queries.policies import policy_at, terms_of
from tanks.queries.waters import Water, water_of
from tanks.rules.charting import INKS, KEY, WIDTHS_PX
from tanks.rules.loads import Load, load_of
from tanks.rules.terms import Terms
from tanks.views.found import cycle_of, vessel_of


@login_required
@require_http_methods(["GET", "POST"])
def start_cycle(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    vessel = vessel_of(request, vessel_id)
    require(request, "tanks.start-cycle", vessel.site)
    water = water_of(vessel, at=timezone.now())
    if "work_out" in request.POST:
        return _worked_out(request, vessel, water)
    sheet = _sheet(request, vessel, data=request.POST or None)
    if sheet.is_bound and sheet.is_valid():
        start = sheet.giving(commands.start_cycle)
        cycle = carry_out(start, sheet.command(), request=request, on=sheet)
        if cycle is not None:
            return see_other(reverse("tanks:plan", args=[cycle.pk]))
    return _start_page(request, sheet, water)


@login_required
@require_GET
def plan(request: SignedRequest, cycle_id: UUID) -> HttpResponse:
    """What has to be so before seeding, and what to do on the first day."""
    told = course(cycle_of(request, cycle_id), at=timezone.now())
    facts = {
        "told": told,
        "cycle": told.cycle,
        "plan": told.plan(),
        "tests": tests(),
        "steps": first_steps(told),
        "forecast": latest_forecast(told.cycle),
        "may": people.deeds_of(request.user, told.cycle.vessel.site),
    }
    return render(request, "tanks/plan.html", facts)


@login_required
@require_GET
def show(request: SignedRequest, cycle_id: UUID) -> HttpResponse:
    """Everything about one start-up: how far it is, what to expect, what to do, what was done."""
    cycle = cycle_of(request, cycle_id)
    followed = follow(course(cycle, at=timezone.now()))
    facts = {
        "followed": followed,
        "told": followed.told,
        "cycle": cycle,
        "key": KEY,
        "widths": WIDTHS_PX,
        "themes": tuple(INKS),
        "may": people.deeds_of(request.user, cycle.vessel.site),
        # A job takes seconds; after a minute the queue stands still.
        "until": int(followed.told.at.timestamp()) + 60,
    }
    return render(request, "tanks/cycle.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def end_cycle(request: SignedRequest, cycle_id: UUID) -> HttpResponse:
    cycle = cycle_of(request, cycle_id)
    require(request, "tanks.end-cycle", cycle.vessel.site)
    sheet = EndCycleSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        commands.end_cycle, sheet.command(cycle), request=request, on=sheet
    ):
        return see_other(reverse("tanks:cycle", args=[cycle.pk]))
    return sheet_page(
        request,
        sheet,
        title=f"End the start-up of {cycle.vessel}",
        sub="Stocked, if animals are in and a certified feed was in force; otherwise given up.",
        verb="End it",
        cancel=reverse("tanks:cycle", args=[cycle.pk]),
    )


def _worked_out(request: SignedRequest, vessel: Vessel, water: Water) -> HttpResponse:
    """Show the sheet again with the load of the feed typed so far; nothing is judged yet."""
    asked = _sheet(request, vessel, data=request.POST).load_asked_for()
    typed = request.POST.dict() | {"has_substrate": "has_substrate" in request.POST}
    terms = _terms(vessel)
    load = _load(asked, water, terms) if asked and terms else None
    return _start_page(request, _sheet(request, vessel, initial=typed), water, load=load)


def _load(asked: tuple[float, float], water: Water, terms: Terms) -> Load | None:
    if water.litres is None:
        return None
    feed, protein = asked
    return load_of(feed_g_per_day=feed, protein_share=protein, volume_l=water.litres, terms=terms)


def _start_page(
    request: SignedRequest, sheet: StartCycleSheet, water: Water, *, load: Load | None = None
) -> HttpResponse:
    facts = {
        "form": sheet,
        "vessel": sheet.vessel,
        "water": water,
        "open_cycle": open_cycle_in(water),
        "kinds": Cycle.WaterKind.choices,
        "kind": _kind(request),
        "load": load,
    }
    status: HTTPStatus = status_of(is_bound=sheet.is_bound)
    return render(request, "tanks/start_cycle.html", facts, status=status)


def _sheet(request: SignedRequest, vessel: Vessel, **options: Any) -> StartCycleSheet:
    return StartCycleSheet(vessel=vessel, terms=_terms(vessel), kind=_kind(request), **options)


def _kind(request: SignedRequest) -> str:
    asked = request.POST.get("water_kind") or request.GET.get("kind") or ""
    return asked if asked in Cycle.WaterKind.values else Cycle.WaterKind.FRESH.value


def _terms(vessel: Vessel) -> Terms | None:
    policy = policy_at(vessel.site, at=timezone.now())
    return terms_of(policy) if policy else None
