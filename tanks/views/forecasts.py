"""The forecast of a start-up: shown, asked for again, computed at once."""

from http import HTTPStatus
from typing import Final
from uuid import UUID, uuid4

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from facility.queries import people
from facility.views.answers import see_other
from facility.views.signed import SignedRequest, require
from tanks.commands import forecasts as commands
from tanks.commands.forecasts import KeepForecast
from tanks.models import Cycle
from tanks.paper import charts
from tanks.queries.cases import case_of
from tanks.queries.cycles import course, latest_forecast
from tanks.queries.following import follow
from tanks.rules.charting import INKS, KEY, WIDTHS_PX
from tanks.rules.forecasting import BadCase, answers_to
from tanks.views.drawn import drawn
from tanks.views.found import cycle_of

_STOP_ASKING: Final = 286


@login_required
@require_GET
def forecast(request: SignedRequest, cycle_id: UUID) -> HttpResponse:
    """Return the part of the page with the forecast, once it is newer than the one ``?shown=``.

    Asked every few seconds; at the moment ``?until=`` it says so and need not be asked again.
    """
    cycle = cycle_of(request, cycle_id)
    followed = follow(course(cycle, at=timezone.now()))
    until = request.GET.get("until", "")
    is_over = not until.isdecimal() or followed.told.at.timestamp() >= int(until)
    is_same = followed.shown == request.GET.get("shown", "")
    if is_same and followed.is_awaited and not is_over:
        return HttpResponse(status=HTTPStatus.NO_CONTENT)
    facts = {
        "followed": followed,
        "told": followed.told,
        "cycle": cycle,
        "key": KEY,
        "widths": WIDTHS_PX,
        "themes": tuple(INKS),
        "may": people.deeds_of(request.user, cycle.vessel.site),
        "until": until,
        "is_over": is_over,
    }
    status = _STOP_ASKING if is_over else HTTPStatus.OK
    return render(request, "tanks/_forecast.html", facts, status=status)


@login_required
@require_GET
def chart(request: SignedRequest, cycle_id: UUID) -> HttpResponse:
    """Return the chart as SVG, for ``?width=`` pixels and ``?theme=`` light or dark."""
    told = course(cycle_of(request, cycle_id), at=timezone.now())
    return drawn(request, charts.drawing_of(told, latest_forecast(told.cycle)))


@login_required
@require_POST
def keep_forecast(request: SignedRequest, cycle_id: UUID) -> HttpResponse:
    """Make the forecast while the person waits; it is the house's own, so nobody signs for it."""
    cycle = cycle_of(request, cycle_id)
    require(request, "tanks.log-readings", cycle.vessel.site)
    command = _command(cycle)
    if isinstance(command, str):
        messages.warning(request, command, extra_tags="unknown")
    else:
        commands.keep_forecast(command, by=None, at=timezone.now())
    return see_other(reverse("tanks:cycle", args=[cycle.pk]) + "#forecast")


def _command(cycle: Cycle) -> KeepForecast | str:
    """Return the command to keep a forecast made now, or why none can be made."""
    case = case_of(cycle, at=timezone.now())
    if not case["readings"]:
        return "Nothing has been read since the start: log readings first."
    try:
        answers = answers_to(case)
    except BadCase as fault:
        return f"No forecast can be made: {fault}"
    return KeepForecast(
        id=uuid4(),
        cycle_id=cycle.pk,
        case=case,
        as_planned=answers.as_planned,
        unbuffered=answers.unbuffered,
    )
