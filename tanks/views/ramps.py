from decimal import Decimal
from http import HTTPStatus
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.refusals import Refusal
from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import ramps as commands
from tanks.forms.ramps import RampSheet
from tanks.models import Cycle, Ramp
from tanks.queries.ramps import now_at, progress_of, ramps_in_force, stocking_value
from tanks.queries.waters import Water, water_of
from tanks.rules.ramps import Step, notes
from tanks.views.found import cycle_of

_UNITS = {Ramp.Of.SALINITY.value: "g/kg", Ramp.Of.TEMPERATURE.value: "degC"}
# Common practice, no source: salt over some days, heat by 1 to 2 °C a day.
_USUAL_DAYS = {Ramp.Of.SALINITY.value: 4, Ramp.Of.TEMPERATURE.value: 3}


@login_required
@require_http_methods(["GET", "POST"])
def plan_ramp(request: SignedRequest, cycle_id: UUID) -> HttpResponse:
    """``?of=`` chooses what is ramped; ``preview`` shows the steps and keeps nothing."""
    cycle = cycle_of(request, cycle_id)
    require(request, "tanks.plan-ramp", cycle.vessel.site)
    of = request.GET.get("of", Ramp.Of.SALINITY.value)
    if of not in _UNITS:
        raise Http404
    sheet = _sheet(request, cycle, of)
    is_look = "preview" in request.POST
    if sheet.is_valid() and not is_look and _keep(request, sheet):
        messages.success(request, "The ramp is planned.", extra_tags="done")
        return see_other(f"{reverse('tanks:plan-ramp', args=[cycle.pk])}?of={of}")
    facts = _facts(sheet, cycle, of)
    if is_look and "HX-Request" in request.headers:
        return render(request, "tanks/_ramp_steps.html", facts)
    status = HTTPStatus.OK if is_look and sheet.is_valid() else status_of(is_bound=sheet.is_bound)
    return render(request, "tanks/plan_ramp.html", facts, status=status)


def _sheet(request: SignedRequest, cycle: Cycle, of: str) -> RampSheet:
    end = Decimal(str(stocking_value(cycle, of=of))).normalize()
    initial = {"of": of, "end": end, "days": _USUAL_DAYS[of]}
    return RampSheet(request.POST or None, cycle=cycle, unit=_UNITS[of], initial=initial)


def _keep(request: SignedRequest, sheet: RampSheet) -> Ramp | None:
    command = sheet.draft()
    return carry_out(commands.plan_ramp, command, request=request, on=sheet) if command else None


def _facts(sheet: RampSheet, cycle: Cycle, of: str) -> dict[str, object]:
    now = timezone.now()
    water = water_of(cycle.vessel, at=now)
    ramp = ramps_in_force(cycle).get(of)
    steps, hindrance = _steps(sheet, cycle, water)
    return {
        "form": sheet,
        "cycle": cycle,
        "vessel": cycle.vessel,
        "water": water,
        "of": of,
        "kinds": Ramp.Of.choices,
        "unit": _UNITS[of],
        "begin": now_at(cycle, water, of=of),
        "steps": steps,
        "hindrance": hindrance,
        "notes": _notes(sheet, cycle, water),
        "ramp": ramp,
        "progress": progress_of(ramp, at=now) if ramp else [],
    }


def _steps(sheet: RampSheet, cycle: Cycle, water: Water) -> tuple[tuple[Step, ...], str]:
    draft = sheet.draft()
    if draft is None:
        return (), ""
    try:
        return commands.planned(draft, cycle, water), ""
    except Refusal as refusal:
        return (), refusal.sentence


def _notes(sheet: RampSheet, cycle: Cycle, water: Water) -> list[str]:
    draft = sheet.draft()
    if draft is None:
        return []
    begin = now_at(cycle, water, of=draft.of)
    return list(notes(of=draft.of, begin=begin, end=float(draft.end), days=draft.days))
