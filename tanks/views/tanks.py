from datetime import datetime, timedelta
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from facility.queries import people
from facility.queries.alerts import alerts_about, maintenance_of
from facility.sockets.loose_ends import Loose
from facility.sockets.work import Due
from facility.views.signed import SignedRequest
from tanks.models import Connection, Vessel
from tanks.queries import entries, estate, walks
from tanks.queries.crossing import crossing_in
from tanks.queries.due import due_in
from tanks.queries.exceedances import open_in_waters
from tanks.queries.loose_ends import loose_in_water
from tanks.queries.meanings import judgement_of
from tanks.queries.readings import latest_in
from tanks.queries.waters import Water, water_of
from tanks.rules.values import PARAMETERS
from tanks.sockets.remarks import remarks_on
from tanks.views.found import vessel_of


@login_required
@require_GET
def tank(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    """The page a label leads to: what it is, what it shares, what was read, what is due."""
    vessel = vessel_of(request, vessel_id)
    at = _moment(vessel)
    water = water_of(vessel, at=at)
    latest, loose = latest_in(water), loose_in_water(water)
    facts = {
        "vessel": vessel,
        "label": vessel.labels.filter(retired_at=None).order_by("pk").first(),
        "water": water,
        "others": [member for member in water.members if member != vessel],
        "shut_off": _shut_off(vessel, at),
        "now": at,
        "latest": [latest[name] for name in PARAMETERS if name in latest],
        "judged": judgement_of(water, latest),
        "crossing": crossing_in(water),
        "due": _due_besides(loose, water),
        "alerts": alerts_about(water.subjects),
        "maintenance": maintenance_of(water.subjects, at=at),
        "loose": loose,
        "remarks": remarks_on(water.member_ids, at),
        "open": open_in_waters([water]),
        "lines": entries.recent(water),
        "walked": walks.seen_last(vessel, at=at),
        "may": people.deeds_of(request.user, vessel.site),
    }
    return render(request, "tanks/tank.html", facts)


def _due_besides(loose: list[Loose], water: Water) -> list[Due]:
    """What is due here and is not told as a loose end already."""
    told = {one.key.partition(":")[2] for one in loose}
    return [one for one in due_in(water) if one.key.partition(":")[2] not in told]


def _shut_off(vessel: Vessel, at: datetime) -> Connection | None:
    """The valve last closed between this tank and its system, unless one stands open now."""
    last = estate.latest_connection(vessel)
    is_closed = last is not None and last.period.upper is not None and last.period.upper <= at
    return last if is_closed else None


def _moment(vessel: Vessel) -> datetime:
    """Now; of a retired vessel, its end: what it held last can still be read."""
    now = timezone.now()
    if vessel.retired_at is not None and vessel.retired_at <= now:
        return vessel.retired_at - timedelta.resolution
    return now
