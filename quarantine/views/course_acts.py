"""Acts on an open course that are one sheet: a level, a bath's end, clearing, giving up."""

from collections.abc import Callable
from typing import Any, Final
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.rules.wording import written
from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import course_ends
from quarantine.commands.levels import read_level as keep_level
from quarantine.commands.treatment_doses import end_bath as keep_end
from quarantine.forms.treatment import (
    AbandonSheet,
    BathEndSheet,
    LevelCorrectionSheet,
    LevelSheet,
    StepSheet,
)
from quarantine.models import Course, LevelReading, TreatmentDose
from quarantine.queries.courses import standing
from quarantine.views.courses import course_of
from tanks.models import Vessel


@login_required
@require_http_methods(["GET", "POST"])
def read_level(request: SignedRequest, course_id: UUID) -> HttpResponse:
    """``?corrects=`` names a reading of the course that was wrong."""
    course = course_of(request, course_id)
    require(request, "quarantine.read-level", course.vessel.site)
    wrong = _wrong(request, course)
    kind = LevelCorrectionSheet if wrong else LevelSheet
    sheet = kind(request.POST or None, course=course)
    if sheet.is_valid():
        command = (
            sheet.correction(wrong.pk)
            if wrong and isinstance(sheet, LevelCorrectionSheet)
            else sheet.command()
        )
        if carry_out(keep_level, command, request=request, on=sheet):
            messages.success(request, _said(course), extra_tags="done")
            return see_other(resolve_url("quarantine:course", course.pk))
    agent = course.agent
    title = "Correct a level" if wrong else f"Read {agent.name} in {course.vessel.code}"
    window = f"{written(course.low)} to {written(course.high)} {agent.unit}"
    return _sheet(request, sheet, course, title=title, sub=f"Window {window}.", verb="Record it")


@login_required
@require_http_methods(["GET", "POST"])
def begin_clearance(request: SignedRequest, course_id: UUID) -> HttpResponse:
    return _step(
        request,
        course_id,
        "quarantine.begin-clearance",
        "The days are reached: clear it",
        "From now on the agent is taken out: by changes, carbon, time. Devices that were off for "
        "the treatment may go on again.",
    )


@login_required
@require_http_methods(["GET", "POST"])
def confirm_clear(request: SignedRequest, course_id: UUID) -> HttpResponse:
    return _step(
        request,
        course_id,
        "quarantine.confirm-clear",
        "Cleared",
        "The end level was read, or what took the agent out is told. After this the animals are no "
        "longer under treatment.",
    )


@login_required
@require_http_methods(["GET", "POST"])
def abandon_course(request: SignedRequest, course_id: UUID) -> HttpResponse:
    course = course_of(request, course_id)
    require(request, "quarantine.abandon-course", course.vessel.site)
    sheet = AbandonSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        course_ends.abandon_course, sheet.command(course), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:course", course.pk))
    return _sheet(
        request,
        sheet,
        course,
        title=f"Abandon the course of {course.vessel.code}",
        sub="The agent is still in the water: it has to be cleared all the same.",
        verb="Abandon the course",
    )


@login_required
@require_http_methods(["GET", "POST"])
def end_bath(request: SignedRequest, dose_id: UUID) -> HttpResponse:
    known = TreatmentDose.objects.current().filter(
        course__vessel__in=Vessel.objects.open_to(request.user)
    )
    dose: TreatmentDose = get_object_or_404(known, pk=dose_id)
    course = course_of(request, dose.course_id)
    require(request, "quarantine.end-bath", course.vessel.site)
    sheet = BathEndSheet(request.POST or None)
    if sheet.is_valid() and carry_out(keep_end, sheet.command(dose), request=request, on=sheet):
        return see_other(resolve_url("quarantine:course", course.pk))
    return _sheet(
        request,
        sheet,
        course,
        title=f"The bath of {course.vessel.code} is over",
        sub="The animals are out of it, or it is out of the tank.",
        verb="It is over",
    )


_MAKES: Final[dict[str, tuple[Callable[..., Any], Callable[[StepSheet, Course], Any]]]] = {
    "quarantine.begin-clearance": (course_ends.begin_clearance, StepSheet.clearing),
    "quarantine.confirm-clear": (course_ends.confirm_clear, StepSheet.cleared),
}


def _step(request: SignedRequest, course_id: UUID, deed: str, title: str, sub: str) -> HttpResponse:
    course = course_of(request, course_id)
    require(request, deed, course.vessel.site)
    give, command = _MAKES[deed]
    sheet = StepSheet(request.POST or None)
    if sheet.is_valid() and carry_out(give, command(sheet, course), request=request, on=sheet):
        return see_other(resolve_url("quarantine:course", course.pk))
    return _sheet(request, sheet, course, title=title, sub=sub, verb="Record it")


def _sheet(
    request: SignedRequest, sheet: Any, course: Course, *, title: str, sub: str, verb: str
) -> HttpResponse:
    cancel = resolve_url("quarantine:course", course.pk)
    return sheet_page(request, sheet, title=title, sub=sub, verb=verb, cancel=cancel)


def _wrong(request: SignedRequest, course: Course) -> LevelReading | None:
    asked = request.GET.get("corrects", "")
    if not asked:
        return None
    rows = LevelReading.objects.current().filter(course=course)
    return next((row for row in rows if str(row.pk) == asked), None)


def _said(course: Course) -> str:
    stands = standing(course, at=timezone.now())
    clock = stands.clock
    if clock is None:
        return "Kept."
    return f"Kept. The clock: {clock.state}, {clock.days:.1f} of {course.clock_days:g} days."
