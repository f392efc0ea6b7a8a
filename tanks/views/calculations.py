"""Calculators: the list, one page for each, and its result on paper. All of them keep nothing."""

from typing import Any, Final
from urllib.parse import urlencode
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET
from django.views.decorators.vary import vary_on_headers

from chemistry import calculator
from chemistry.calculator import Calculation
from facility.paper.draw import draw
from facility.queries import people
from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest
from tanks.forms.calculations import CalculationSheet, SearchSheet, WaterSheet, sheet_of
from tanks.paper.dose_sheets import Asked, dose_sheet_of
from tanks.queries.filling import fillings, waters_open_to
from tanks.queries.waters import Water, water_of
from tanks.rules.answers import results, sensitivity
from tanks.rules.catalogue import found_by
from tanks.rules.dosed import CalculatedDose, calculated_dose
from tanks.views.found import vessel_of

# Page and live part share an address, and a browser going back must not mix them up.
_IN_PARTS: Final = vary_on_headers("HX-Request")


@login_required
@require_GET
@_IN_PARTS
def calculations(request: SignedRequest) -> HttpResponse:
    """``?q=`` narrows the list; ``?vessel=`` is handed on to the calculation chosen."""
    asked = request.GET.get("q", "")
    facts = {
        "form": SearchSheet(initial={"q": asked}),
        "groups": found_by(asked),
        "asked": asked,
        "water": _water(request),
    }
    is_part = "HX-Request" in request.headers
    return render(request, "tanks/_catalogue.html" if is_part else "tanks/calculations.html", facts)


@login_required
@require_GET
@_IN_PARTS
def calculate(request: SignedRequest, calculation: str) -> HttpResponse:
    """Each calculation is a link; ``?vessel=`` says whose numbers, ``fill`` takes them."""
    entry, water = _entry(calculation), _water(request)
    sheet = _sheet(request, entry, water)
    facts = {"form": sheet, "water": water, **_outcome(request, sheet, water)}
    if "HX-Request" in request.headers:
        return render(request, "tanks/_answer.html", facts)
    facts["source"] = WaterSheet(
        waters=waters_open_to(request.user, at=timezone.now()),
        initial={"vessel": str(water.anchor.pk) if water else ""},
    )
    status = status_of(is_bound=bool(sheet.errors))
    return render(request, "tanks/calculate.html", facts, status=status)


@login_required
@require_GET
def dose_sheet(request: SignedRequest, calculation: str) -> HttpResponse:
    """The result to measure out by, with room for two names. What goes in is logged elsewhere."""
    entry, water = _entry(calculation), _water(request)
    sheet = _sheet(request, entry, water)
    answer = sheet.answer if sheet.is_valid() else None
    dose = calculated_dose(answer) if answer else None
    if answer is None or dose is None:
        # What is missing, or that nothing need be measured out, stands on the page itself.
        return see_other(_address("tanks:calculate", request, entry))
    asked = Asked(
        by=request.user.full_name,
        at=timezone.now(),
        zone=timezone.get_current_timezone(),
        water=water,
        fillings=sheet.fillings,
    )
    named = f'inline; filename="dose-sheet-{entry.name}.pdf"'
    return HttpResponse(
        draw(dose_sheet_of(answer, dose, asked)),
        content_type="application/pdf",
        headers={"Content-Disposition": named},
    )


def _entry(name: str) -> Calculation:
    try:
        return calculator.calculation(name)
    except calculator.UnknownCalculation as unknown:
        raise Http404(str(unknown)) from unknown


def _water(request: SignedRequest) -> Water | None:
    """The water chosen, by any of its vessels."""
    asked = request.GET.get("vessel", "")
    if not asked:
        return None
    try:
        vessel_id = UUID(asked)
    except ValueError as junk:
        raise Http404("There is no such water.") from junk
    return water_of(vessel_of(request, vessel_id), at=timezone.now())


def _sheet(request: SignedRequest, entry: Calculation, water: Water | None) -> CalculationSheet:
    found = fillings(entry, water) if water else {}
    return sheet_of(entry, request.GET.dict(), found, fill="fill" in request.GET)


def _outcome(
    request: SignedRequest, sheet: CalculationSheet, water: Water | None
) -> dict[str, Any]:
    """What the answer shows, where there is one."""
    answer = sheet.answer if sheet.is_valid() else None
    if answer is None:
        return {}
    dose = calculated_dose(answer)
    return {
        "answer": answer,
        "results": results(answer),
        "sensitivity": sensitivity(answer),
        "dose": dose,
        "link": _address("tanks:calculate", request, sheet.calculation, sheet),
        "print": dose and _address("tanks:dose-sheet", request, sheet.calculation, sheet),
        "log": dose and water and _log(request, dose, water),
    }


def _log(request: SignedRequest, dose: CalculatedDose, water: Water) -> str:
    """Where the dose is recorded once it is in; the amount is asked there, not filled in."""
    anchor = water.anchor
    if not dose.purpose or not people.may(request.user, "tanks.log-dose", anchor.site):
        return ""
    target = {} if dose.target is None else {"target": f"{dose.target:.4g}"}
    query = urlencode({"purpose": dose.purpose} | target)
    return f"{reverse('tanks:log-dose', args=[anchor.pk])}?{query}"


def _address(
    name: str, request: SignedRequest, entry: Calculation, sheet: CalculationSheet | None = None
) -> str:
    """The same calculation at another address, with what stands on the sheet now."""
    kept = {key: request.GET[key] for key in ("vessel",) if request.GET.get(key)}
    typed = sheet.data.items() if sheet is not None else request.GET.items()
    query = urlencode(kept | {key: text for key, text in typed if text and key != "fill"})
    return reverse(name, args=[entry.name]) + (f"?{query}" if query else "")
