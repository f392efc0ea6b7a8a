from datetime import datetime
from http import HTTPStatus
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands.valve_loans import lend_valve as lend
from tanks.forms.connections import LendValveSheet
from tanks.models import Connection
from tanks.queries import turns
from tanks.views.found import connection_of


@login_required
@require_http_methods(["GET", "POST"])
def lend_valve(request: SignedRequest, connection_id: UUID) -> HttpResponse:
    """Close a valve for a while, or say until when a closed one stays so."""
    connection = connection_of(request, connection_id)
    require(request, "tanks.lend-valve", connection.vessel.site)
    sheet = LendValveSheet(
        request.POST or None, connection=connection, initial={"owner": request.user}
    )
    is_look = "preview" in request.POST
    if (
        not is_look
        and sheet.is_valid()
        and carry_out(lend, sheet.command(), request=request, on=sheet)
    ):
        return see_other(resolve_url("tanks:water", connection.vessel_id))
    effect = _effect(sheet, connection)
    if is_look and "HX-Request" in request.headers:
        return render(request, "tanks/_effect.html", {"effect": effect})
    facts = {
        "connection": connection,
        "is_closed": connection.period.upper is not None,
        "form": sheet,
        "effect": effect,
    }
    status = HTTPStatus.OK if is_look else status_of(is_bound=sheet.is_bound)
    return render(request, "tanks/lend_valve.html", facts, status=status)


def _effect(sheet: LendValveSheet, connection: Connection) -> str:
    """What closing does to the two waters; a valve closed already changes nothing more."""
    at = _moment(sheet)
    if connection.period.upper is not None or at is None:
        return ""
    return turns.if_closed(connection, at=at)


def _moment(sheet: LendValveSheet) -> datetime | None:
    if not sheet.is_bound:
        return timezone.now()
    sheet.is_valid()
    at: datetime | None = sheet.cleaned_data.get("happened_at")
    return at
