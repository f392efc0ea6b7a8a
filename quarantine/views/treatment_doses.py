"""The sheet of a dose, the second person's own working, and setting one stop aside."""

from collections.abc import Iterable
from http import HTTPStatus
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render, resolve_url
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from facility.queries import people
from facility.refusals import Refusal
from facility.views import signing
from facility.views.answers import see_other, sheet_page, status_of
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import treatment_doses as commands
from quarantine.commands.computations import compute_dose as keep_computation
from quarantine.commands.overrides import dose_meant
from quarantine.commands.overrides import override_guard as set_aside
from quarantine.commands.treatment_doses import DoseStopped, GiveDose, uncovered, weigh
from quarantine.forms.treatment_doses import (
    SETS_ASIDE,
    ComputationSheet,
    DoseSheet,
    OverrideSheet,
)
from quarantine.models import Course, TreatmentDose
from quarantine.queries.course_pages import course_page
from quarantine.queries.guarding import drum_for
from quarantine.rules.guard_amounts import computed
from quarantine.rules.guard_facts import Stopped
from quarantine.rules.hazards import cards_named
from quarantine.views.courses import course_of
from tanks.queries.waters import Water, water_of
from tanks.rules.dosing import measurable


@login_required
@never_cache
@require_http_methods(["GET", "POST"])
def give_dose(request: SignedRequest, course_id: UUID) -> HttpResponse:
    """``preview`` computes and keeps nothing; ``?intent=`` and ``?rise=`` may come along."""
    course = course_of(request, course_id)
    require(request, "quarantine.give-dose", course.vessel.site)
    water = water_of(course.vessel, at=timezone.now())
    sheet = DoseSheet(
        request.POST or None, course=course, water=water, initial=_initial(request, course)
    )
    draft = sheet.draft()
    if "preview" in request.POST:
        return _previewed(request, course, water, draft)
    if sheet.is_valid() and draft and (dose := _given(request, sheet, draft)):
        messages.success(request, _said(dose), extra_tags="done")
        return see_other(resolve_url("quarantine:course", course.pk))
    return _page(request, sheet, course, water, draft)


@login_required
@require_http_methods(["GET", "POST"])
def compute_dose(request: SignedRequest, course_id: UUID) -> HttpResponse:
    course = course_of(request, course_id)
    require(request, "quarantine.compute-dose", course.vessel.site)
    sheet = ComputationSheet(request.POST or None, course=course)
    if sheet.is_valid() and carry_out(keep_computation, sheet.command(), request=request, on=sheet):
        messages.success(request, "Kept. It is compared when the dose is given.", extra_tags="done")
        return see_other(resolve_url("quarantine:course", course.pk))
    return sheet_page(
        request,
        sheet,
        title=f"Work the dose of {course.vessel.code} out alone",
        sub="As a second person: read the litres and the label yourself, and look at nobody's "
        "result. It holds for two hours.",
        verb="Record what I come to",
        cancel=resolve_url("quarantine:course", course.pk),
    )


@login_required
@never_cache
@sensitive_post_parameters("password")
@require_http_methods(["GET", "POST"])
def override_guard(request: SignedRequest, course_id: UUID) -> HttpResponse:
    """The dose comes along in the address, as the sheet that was stopped wrote it."""
    course = course_of(request, course_id)
    require(request, "quarantine.override-guard", course.vessel.site)
    told = {name: request.GET[name] for name in _TOLD if name in request.GET}
    sheet = OverrideSheet(request.POST or None, initial=told | {"meaning": SETS_ASIDE})
    if (
        sheet.is_bound
        and signing.is_signed(sheet, by=request.user)
        and (row := carry_out(set_aside, sheet.command(course), request=request, on=sheet))
    ):
        messages.success(request, f"Set aside: {row.stop}.", extra_tags="done")
        back = {name: request.POST.get(name, "") for name in _TOLD if name != "stop"}
        address = reverse("quarantine:give-dose", args=[course.pk])
        return see_other(f"{address}?{urlencode(back)}")
    facts = {
        "form": sheet,
        "course": course,
        "stop": _named(sheet, course),
        "told": told,
        "cancel": resolve_url("quarantine:course", course.pk),
    }
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "quarantine/override_guard.html", facts, status=status)


_TOLD = (
    "dose_id",
    "giver_id",
    "container_id",
    "stop",
    "intent",
    "rise",
    "amount",
    "seen_members",
    "seen_litres",
    "minutes",
    "happened_at",
)


def _initial(request: SignedRequest, course: Course) -> dict[str, Any]:
    """What the address says; without it, what brings the level to the target."""
    asked = request.GET
    page = course_page(course, at=timezone.now())
    intent, rise = _offered(course, page.restore, page.top_up, asked.get("intent", ""))
    found = {"intent": intent, "rise": asked.get("rise") or f"{rise:.4g}"}
    names = {"id": "dose_id", "container": "container_id"}
    names |= {name: name for name in ("amount", "minutes", "happened_at")}
    found |= {field: asked[name] for field, name in names.items() if asked.get(name)}
    return found


def _offered(
    course: Course, restore: float | None, top_up: float | None, asked: str
) -> tuple[str, float]:
    target = float(course.target)
    if course.agent.is_bath:
        return "BATH", target
    offers = {"REDOSE": restore, "TOP_UP": top_up}
    if asked in offers:
        return asked, offers[asked] or target
    intent = next((name for name, rise in offers.items() if rise), "START")
    return intent, offers.get(intent) or target


def _given(request: SignedRequest, sheet: DoseSheet, draft: GiveDose) -> TreatmentDose | None:
    return carry_out(commands.give_dose, draft, request=request, on=sheet)


def _previewed(
    request: SignedRequest, course: Course, water: Water, draft: GiveDose | None
) -> HttpResponse:
    if "HX-Request" in request.headers:
        facts = {"working": _working(course, water, draft), "course": course}
        return render(request, "quarantine/_dose_working.html", facts)
    typed = {name: value for name, value in request.POST.items() if value}
    again = DoseSheet(course=course, water=water, initial=typed)
    return _page(request, again, course, water, draft)


def _page(
    request: SignedRequest, sheet: DoseSheet, course: Course, water: Water, draft: GiveDose | None
) -> HttpResponse:
    page = course_page(course, at=timezone.now())
    is_refused = sheet.is_bound and request.method == "POST" and "preview" not in request.POST
    facts = {
        "form": sheet,
        "course": course,
        "page": page,
        "water": water,
        "working": _working(course, water, draft),
        "stops": _stops(request, course, draft) if is_refused and draft else [],
        "has_containers": sheet.fields["container"].initial is not None,
        "cards": cards_named(course.agent.cards),
        "may": people.deeds_of(request.user, course.vessel.site),
    }
    status = HTTPStatus.UNPROCESSABLE_ENTITY if is_refused else HTTPStatus.OK
    return render(request, "quarantine/give_dose.html", facts, status=status)


def _working(course: Course, water: Water, draft: GiveDose | None) -> dict[str, Any] | None:
    """What is to be measured out for the rise, and from what it follows."""
    if draft is None or not draft.rise or water.litres is None:
        return None
    container = commands.container_of(course, draft.container_id)
    drum = drum_for(container, at=draft.happened_at)
    exact = computed(rise=float(draft.rise), litres=water.litres, strength=drum.strength)
    return {
        "exact": exact,
        "rounded": measurable(exact, drum.unit),
        "unit": drum.unit,
        "rise": draft.rise,
        "litres": water.litres,
        "strength": drum.strength,
        "container": container,
        "gives": float(draft.amount) * drum.strength / water.litres if draft.amount else None,
    }


def _stops(request: SignedRequest, course: Course, draft: GiveDose) -> list[dict[str, Any]]:
    """Every stop that still holds, with the way to set it aside where there is one."""
    try:
        found = uncovered(draft, weigh(draft, course, giver=request.user.pk).stops)
    except DoseStopped as refusal:
        found = list(refusal.stops)
    except Refusal:
        return []
    return list(_with_ways(request, course, draft, found))


def _with_ways(
    request: SignedRequest, course: Course, draft: GiveDose, found: Iterable[Stopped]
) -> Iterable[dict[str, Any]]:
    address = reverse("quarantine:override-guard", args=[course.pk])
    local = draft.happened_at.astimezone(course.vessel.site.zone)
    told = {
        "dose_id": draft.id,
        "giver_id": request.user.pk,
        "container_id": draft.container_id,
        "intent": draft.intent,
        "rise": draft.rise,
        "amount": draft.amount,
        "seen_members": ",".join(sorted(str(pk) for pk in draft.seen_members)),
        "seen_litres": draft.seen_litres,
        "minutes": draft.minutes or "",
        "happened_at": f"{local:%Y-%m-%dT%H:%M}",
    }
    for one in found:
        way = f"{address}?{urlencode(told | {'stop': one.code})}"
        yield {"stop": one, "url": "" if one.is_final else way}


def _named(sheet: OverrideSheet, course: Course) -> Stopped | None:
    """The stop as it holds now, to be read before it is set aside."""
    told = OverrideSheet(
        {name: sheet[name].value() for name in sheet.fields} | {"why": "-", "password": "-"}
    )
    if not told.is_valid():
        return None
    command = told.command(course)
    try:
        found = weigh(dose_meant(command), course, giver=command.giver_id).stops
    except Refusal:
        return None
    return next((one for one in found if one.code == command.stop), None)


def _said(dose: TreatmentDose) -> str:
    amount = dose.amount.normalize()
    return f"{amount:f} {dose.unit} of {dose.container.name} put in. Read the level next."
