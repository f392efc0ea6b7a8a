from http import HTTPStatus
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import connections
from tanks.forms.connections import CloseValveSheet, OpenValveSheet
from tanks.models import Connection, Vessel
from tanks.queries import estate, turns
from tanks.sockets.turning import told_of_opening
from tanks.views.found import connection_of, vessel_of


@login_required
@require_http_methods(["GET", "POST"])
def open_valve(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    vessel = vessel_of(request, vessel_id)
    require(request, "tanks.open-valve", vessel.site)
    sheet = OpenValveSheet(request.POST or None, vessel=vessel)
    is_look = "preview" in request.POST
    if sheet.is_valid() and not is_look:
        row = carry_out(connections.open_valve, sheet.command(), request=request, on=sheet)
        if row is not None:
            return see_other(resolve_url("tanks:water", vessel.pk))
    effect = _effect_of_opening(sheet, vessel)
    if is_look and "HX-Request" in request.headers:
        return render(request, "tanks/_effect.html", {"effect": effect})
    facts = {
        "vessel": vessel,
        "form": sheet,
        "effect": effect,
        "standing": estate.connection_at(vessel, at=timezone.now()),
        "systems": estate.systems(vessel.site, but=vessel),
    }
    return render(request, "tanks/open_valve.html", facts, status=_status(sheet, is_look=is_look))


@login_required
@require_http_methods(["GET", "POST"])
def close_valve(request: SignedRequest, connection_id: UUID) -> HttpResponse:
    connection = connection_of(request, connection_id)
    require(request, "tanks.close-valve", connection.vessel.site)
    sheet = CloseValveSheet(request.POST or None)
    is_look = "preview" in request.POST
    if sheet.is_valid() and not is_look:
        command = sheet.command(connection)
        if carry_out(connections.close_valve, command, request=request, on=sheet):
            return see_other(resolve_url("tanks:water", connection.vessel_id))
    effect = _effect_of_closing(sheet, connection)
    if is_look and "HX-Request" in request.headers:
        return render(request, "tanks/_effect.html", {"effect": effect})
    facts = {"connection": connection, "form": sheet, "effect": effect}
    return render(request, "tanks/close_valve.html", facts, status=_status(sheet, is_look=is_look))


def _effect_of_opening(sheet: OpenValveSheet, vessel: Vessel) -> str:
    """What the sheet as filled in would do; untouched, what the likely system now would."""
    if sheet.is_bound:
        given = sheet.cleaned_data if sheet.is_valid() else {}
        system, at = given.get("system"), given.get("happened_at")
    else:
        system, at = estate.likely_system(vessel), timezone.now()
    if system is None or not at:
        return ""
    more = told_of_opening(vessel.pk, system.pk, at)
    return " ".join([turns.if_opened(vessel, system, at=at), *more])


def _effect_of_closing(sheet: CloseValveSheet, connection: Connection) -> str:
    if not sheet.is_bound:
        return turns.if_closed(connection, at=timezone.now())
    return (
        turns.if_closed(connection, at=sheet.cleaned_data["happened_at"])
        if (sheet.is_valid())
        else ""
    )


def _status(sheet: OpenValveSheet | CloseValveSheet, *, is_look: bool) -> HTTPStatus:
    return HTTPStatus.OK if is_look and sheet.is_valid() else status_of(is_bound=sheet.is_bound)
