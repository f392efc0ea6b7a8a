from datetime import datetime
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from facility.queries import people
from facility.views.answers import status_of
from facility.views.signed import SignedRequest
from tanks.forms.vessels import MomentSheet
from tanks.queries import devices, estate
from tanks.queries.exceedances import open_in_waters
from tanks.queries.loose_ends import loose_in_water
from tanks.queries.waters import Water, water_of
from tanks.sockets.remarks import remarks_on
from tanks.views.found import vessel_of


@login_required
@require_GET
def show(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    """The water of this vessel now, or at the moment named by ``?at=``."""
    vessel = vessel_of(request, vessel_id)
    now = timezone.now()
    sheet = MomentSheet(request.GET or None)
    at = _asked(sheet) or now
    water = water_of(vessel, at=at)
    facts = {
        "vessel": vessel,
        "water": water,
        "rows": _rows(water, at),
        "map": estate.mapped(water),
        "devices": devices.running(water.member_ids, at=at),
        "loose": loose_in_water(water),
        "remarks": remarks_on(water.member_ids, at),
        "open": open_in_waters([water]),
        "companies": estate.companies(vessel, until=now),
        "connection": estate.connection_at(vessel, at=now),
        "form": sheet,
        "at": at,
        "now": now,
        "is_past": at < now,
        "may": people.deeds_of(request.user, vessel.site),
    }
    status = status_of(is_bound=bool(sheet.errors))
    return render(request, "tanks/water.html", facts, status=status)


def _asked(sheet: MomentSheet) -> datetime | None:
    asked: datetime | None = sheet.cleaned_data["at"] if sheet.is_valid() else None
    return asked


def _rows(water: Water, at: datetime) -> list[tuple[object, object]]:
    """Each member with the volume that holds for it, or None."""
    known = estate.volumes(water.member_ids, at=at)
    return [(vessel, known.get(vessel.pk)) for vessel in water.members]
