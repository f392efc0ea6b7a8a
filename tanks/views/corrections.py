from http import HTTPStatus
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.forms import Form
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.views.answers import see_other
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import readings, withdrawals
from tanks.commands.withdrawals import CannotBeWithdrawn, entry_model, vessel_of
from tanks.forms.corrections import CorrectionSheet, WithdrawalSheet
from tanks.models import Reading, Vessel
from tanks.queries.entries import line_of


@login_required
@require_http_methods(["GET", "POST"])
def correct_reading(request: SignedRequest, reading_id: UUID) -> HttpResponse:
    rows = Reading.objects.select_related("vessel__site", "method", "by")
    reading = get_object_or_404(
        rows.filter(vessel__in=Vessel.objects.open_to(request.user)), pk=reading_id
    )
    require(request, "tanks.correct-reading", reading.vessel.site)
    timezone.activate(reading.vessel.site.zone)
    sheet = CorrectionSheet(request.POST or None, reading=reading)
    if sheet.is_valid() and carry_out(
        readings.correct_reading, sheet.command(), request=request, on=sheet
    ):
        return _back(request, reading.vessel, "The reading is corrected; the first value stays.")
    return _page(request, "tanks/correct_reading.html", sheet, reading)


@login_required
@require_http_methods(["GET", "POST"])
def withdraw_entry(request: SignedRequest, model: str, fact_id: UUID) -> HttpResponse:
    fact = _fact(request, model, fact_id)
    vessel = vessel_of(fact)
    require(request, "tanks.withdraw-entry", vessel.site)
    timezone.activate(vessel.site.zone)
    sheet = WithdrawalSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        withdrawals.withdraw_entry,
        sheet.command(model=model, fact_id=fact_id),
        request=request,
        on=sheet,
    ):
        return _back(request, vessel, "The entry is withdrawn; it stays to be seen.")
    return _page(request, "tanks/withdraw_entry.html", sheet, fact)


def _fact(request: SignedRequest, model: str, fact_id: UUID) -> Any:
    try:
        rows = entry_model(model).objects
    except CannotBeWithdrawn as refusal:
        raise Http404(refusal.sentence) from refusal
    fact = get_object_or_404(rows.select_related("by"), pk=fact_id)
    if not Vessel.objects.open_to(request.user).filter(pk=vessel_of(fact).pk).exists():
        raise Http404
    return fact


def _page(request: SignedRequest, template: str, sheet: Form, fact: Any) -> HttpResponse:
    facts = {"form": sheet, "line": line_of(fact), "vessel": vessel_of(fact), "now": timezone.now()}
    status = HTTPStatus.UNPROCESSABLE_ENTITY if sheet.is_bound else HTTPStatus.OK
    return render(request, template, facts, status=status)


def _back(request: SignedRequest, vessel: Vessel, sentence: str) -> HttpResponse:
    messages.success(request, sentence, extra_tags="done")
    return see_other(reverse("tanks:tank", args=[vessel.pk]))
