"""The forecasts a start-up had, each beside what happened after it."""

from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from facility.queries import people
from facility.views.signed import SignedRequest
from tanks.models import Forecast
from tanks.paper import charts
from tanks.queries.cycles import course
from tanks.queries.forecasts import Kept, daily, lines_of, listed, passed_at
from tanks.rules.charting import INKS, KEPT_KEY, WIDTHS_PX
from tanks.views.drawn import drawn
from tanks.views.found import cycle_of


@login_required
@require_GET
def forecasts(request: SignedRequest, cycle_id: UUID) -> HttpResponse:
    """The last forecast of each day, or with ``?all=1`` every one."""
    told = course(cycle_of(request, cycle_id), at=timezone.now())
    every = lines_of([told.cycle])
    shown = every if "all" in request.GET else daily(every)
    facts = {
        "told": told,
        "cycle": told.cycle,
        "passed_at": passed_at(told),
        "rows": listed(told, shown),
        "more": len(every) - len(shown),
        "may": people.deeds_of(request.user, told.cycle.vessel.site),
    }
    return render(request, "tanks/forecasts.html", facts)


@login_required
@require_GET
def kept_forecast(request: SignedRequest, cycle_id: UUID, forecast_id: UUID) -> HttpResponse:
    """One forecast as it was made, with the readings that came later."""
    kept = _kept(request, cycle_id, forecast_id)
    facts = {
        "kept": kept,
        "cycle": kept.told.cycle,
        "passed_at": passed_at(kept.told),
        "key": KEPT_KEY,
        "widths": WIDTHS_PX,
        "themes": tuple(INKS),
        "may": people.deeds_of(request.user, kept.told.cycle.vessel.site),
    }
    return render(request, "tanks/kept_forecast.html", facts)


@login_required
@require_GET
def kept_chart(request: SignedRequest, cycle_id: UUID, forecast_id: UUID) -> HttpResponse:
    kept = _kept(request, cycle_id, forecast_id)
    drawing = charts.kept_drawing_of(kept.told, kept.forecast, passed_at=passed_at(kept.told))
    return drawn(request, drawing)


def _kept(request: SignedRequest, cycle_id: UUID, forecast_id: UUID) -> Kept:
    cycle = cycle_of(request, cycle_id)
    forecast = get_object_or_404(Forecast.objects.filter(cycle=cycle), pk=forecast_id)
    return Kept(told=course(cycle, at=timezone.now()), forecast=forecast)
