from decimal import Decimal, InvalidOperation
from http import HTTPStatus
from typing import Final
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import doses as commands
from tanks.forms.doses import DoseSheet
from tanks.models import Dose, Reading
from tanks.queries.acts import latest_doses
from tanks.queries.cycles import course, open_cycle_in
from tanks.queries.dosing import dosed_close_by
from tanks.queries.policies import chlorine_limit_mg_l, policy_at
from tanks.queries.readings import latest_in
from tanks.queries.waters import Water, water_of
from tanks.rules.dosed import calculations_for
from tanks.rules.dosing import AIMS, same_effect
from tanks.views.found import vessel_of
from tanks.views.previews import Found, preview

_CENTILITRES: Final = Decimal("0.01")


@login_required
@require_http_methods(["GET", "POST"])
def log_dose(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    """``?purpose=`` and ``?target=`` may come along; ``preview`` shows and keeps nothing."""
    vessel = vessel_of(request, vessel_id)
    require(request, "tanks.log-dose", vessel.site)
    water = water_of(vessel, at=timezone.now())
    purpose = _purpose(request, water)
    sheet = DoseSheet(
        request.POST or None,
        vessel=vessel,
        purpose=purpose,
        initial=_initial(request, purpose, water),
    )
    found = preview(sheet)
    if "preview" in request.POST:
        return _previewed(request, sheet, water, found)
    if sheet.is_valid() and (dose := _dose(request, sheet)):
        messages.success(request, _said(dose), extra_tags="done")
        return see_other(reverse("tanks:tank", args=[vessel.pk]))
    return _page(request, sheet, water, found, status_of(is_bound=sheet.is_bound))


def _dose(request: SignedRequest, sheet: DoseSheet) -> Dose | None:
    draft = sheet.draft()
    if draft is None:
        return None
    return carry_out(sheet.giving(commands.log_dose), draft, request=request, on=sheet)


def _previewed(
    request: SignedRequest, sheet: DoseSheet, water: Water, found: Found
) -> HttpResponse:
    if "HX-Request" in request.headers:
        return render(request, "tanks/_dose_preview.html", {"preview": found})
    typed = {name: value for name, value in request.POST.items() if value}
    again = DoseSheet(vessel=sheet.vessel, purpose=sheet.purpose, initial=typed)
    return _page(request, again, water, found, HTTPStatus.OK)


def _page(
    request: SignedRequest,
    sheet: DoseSheet,
    water: Water,
    found: Found,
    status: HTTPStatus,
) -> HttpResponse:
    facts = {
        "form": sheet,
        "vessel": sheet.vessel,
        "water": water,
        "purpose": sheet.purpose,
        "purposes": Dose.Purpose.choices,
        "aim": AIMS[sheet.purpose],
        "has_products": sheet.fields["product"].initial is not None,
        "preview": found,
        "chlorine": _chlorine_left(water, sheet.purpose),
        "calculations": calculations_for(sheet.purpose),
        "close_by": dosed_close_by(water, purpose=sheet.purpose),
        "latest": latest_doses(water),
        "now": timezone.now(),
    }
    return render(request, "tanks/log_dose.html", facts, status=status)


def _chlorine_left(water: Water, purpose: str) -> Reading | None:
    """The chlorine that was read in a water about to get ammonia: together they make chloramine."""
    cycle, read = open_cycle_in(water), latest_in(water).get("CHLORINE")
    if read is None or cycle is None or purpose not in same_effect(Dose.Purpose.AMMONIA):
        return None
    site, kind = water.anchor.site, cycle.water_kind
    limit = chlorine_limit_mg_l(site, water_kind=kind, at=water.at) or 0.0
    return read if read.interval.low > limit else None


def _purpose(request: SignedRequest, water: Water) -> str:
    """What is asked for; without a word, ammonia while a start-up runs, else alkalinity."""
    asked = request.GET.get("purpose", "")
    if asked and asked not in AIMS:
        raise Http404
    usual = Dose.Purpose.AMMONIA if open_cycle_in(water) else Dose.Purpose.ALKALINITY
    return asked or usual.value


def _initial(request: SignedRequest, purpose: str, water: Water) -> dict[str, object]:
    cycle = open_cycle_in(water)
    ammonia = cycle.ammonia if cycle and purpose in same_effect(Dose.Purpose.AMMONIA) else None
    litres = None if water.litres is None else Decimal(repr(water.litres)).quantize(_CENTILITRES)
    target = _target(request, purpose, water)
    return {"target": target, "product": ammonia, "seen_litres": litres}


def _target(request: SignedRequest, purpose: str, water: Water) -> Decimal | None:
    """The target asked for, or what the policy or the start-up says; else left to the person."""
    try:
        asked = Decimal(request.GET.get("target", ""))
    except InvalidOperation:
        asked = Decimal(0)
    if asked.is_finite() and asked > 0:
        return asked
    cycle = open_cycle_in(water)
    if purpose == Dose.Purpose.CHALLENGE and cycle is not None:
        load = course(cycle, at=water.at).load_mg_l_n
        return None if load is None else Decimal(f"{load:.2f}").normalize()
    policy = cycle.policy if cycle else policy_at(water.anchor.site, at=water.at)
    return policy.dose_mg_l_n.normalize() if policy and purpose == Dose.Purpose.AMMONIA else None


def _said(dose: Dose) -> str:
    return f"{dose.amount.normalize():f} {dose.unit} of {dose.product} put into {dose.vessel.code}."
