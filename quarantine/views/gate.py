"""May animals enter this water? The answer, what it rests on, and the signature that opens."""

from datetime import datetime
from http import HTTPStatus
from typing import Any
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render, resolve_url
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_POST

from facility.queries import people
from facility.views import signing
from facility.views.answers import see_other
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands.admissions import admit_animals, valid_until
from quarantine.forms.admissions import AdmissionSheet
from quarantine.models import Admission
from quarantine.queries.admissions import admissions_in
from quarantine.queries.gate import Gate, gate_of, gates_open_to
from tanks.models import Vessel
from tanks.rules.requirements import MET, NOT_MET, UNKNOWN
from tanks.views.found import vessel_of


@login_required
@never_cache
@require_GET
def every(request: SignedRequest) -> HttpResponse:
    """The gate of each water in start-up, where the person works."""
    facts = {"gates": gates_open_to(request.user, at=timezone.now())}
    return render(request, "quarantine/gates.html", facts)


@login_required
@never_cache
@require_GET
def show(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    return _page(request, vessel_of(request, vessel_id), AdmissionSheet())


@login_required
@never_cache
@sensitive_post_parameters("password")
@require_POST
def admit(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    vessel = vessel_of(request, vessel_id)
    require(request, "quarantine.admit-animals", vessel.site)
    sheet = AdmissionSheet(request.POST)
    if signing.is_signed(sheet, by=request.user) and (
        admission := carry_out(admit_animals, sheet.command(vessel), request=request, on=sheet)
    ):
        return see_other(_onward(request, vessel, admission))
    return _page(request, vessel, sheet, status=HTTPStatus.UNPROCESSABLE_ENTITY)


def _onward(request: SignedRequest, vessel: Vessel, admission: Admission) -> str:
    """To what entered, for those who may record it."""
    if people.may(request.user, "quarantine.record-stocking", vessel.site):
        return resolve_url("quarantine:record-stocking", admission.pk)
    return resolve_url("quarantine:gate", vessel.pk)


def _page(
    request: SignedRequest,
    vessel: Vessel,
    sheet: AdmissionSheet,
    *,
    status: HTTPStatus = HTTPStatus.OK,
) -> HttpResponse:
    now = timezone.now()
    gate = gate_of(vessel, at=now)
    facts = {
        "gate": gate,
        "vessel": vessel,
        "groups": _groups(gate),
        "form": sheet,
        "now": now,
        "admissions": [_shown(one, now) for one in admissions_in(gate.water)],
        "may_read": people.may(request.user, "tanks.log-readings", vessel.site),
        "may_admit": people.may(request.user, "quarantine.admit-animals", vessel.site),
        "may_stock": people.may(request.user, "quarantine.record-stocking", vessel.site),
    }
    return render(request, "quarantine/gate.html", facts, status=status)


def _groups(gate: Gate) -> list[tuple[str, list[Any]]]:
    """What stands in the way first, then what cannot be told, then what is met."""
    titles = ((NOT_MET, "Not met"), (UNKNOWN, "Unknown"), (MET, "Met"))
    groups = (
        (title, [row for row in gate.requirements if row.state == state]) for state, title in titles
    )
    return [(title, rows) for title, rows in groups if rows]


def _shown(admission: Admission, now: datetime) -> dict[str, Any]:
    until = valid_until(admission)
    entered = [row for row in admission.stockings.all() if not row.withdrawn]
    return {"row": admission, "until": until, "is_fresh": now <= until, "entered": entered}
