"""Who waits in which water and until when; what a late comer would do to them."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from facility.models import Site
from facility.queries import people
from facility.views.signed import SignedRequest
from quarantine.models import Hold, Lot, Species
from quarantine.queries.clocks import (
    Consequences,
    Waiting,
    consequences,
    latest,
    waiting_at,
    waiting_in,
)
from quarantine.queries.holds import holds_at, holds_in, subject_of
from quarantine.queries.stay_rules import stay_rules_at
from tanks.models import Vessel
from tanks.queries.waters import Water, water_of
from tanks.views.found import vessel_of


@login_required
@require_GET
def every(request: SignedRequest) -> HttpResponse:
    """Every water with animals that wait, those that may leave soonest first."""
    now = timezone.now()
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {"places": [_place(request, site, now) for site in sites], "now": now}
    return render(request, "quarantine/stays.html", facts)


@login_required
@require_GET
def show(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    """The animals of a water: until when each lot waits, and why."""
    vessel, now = vessel_of(request, vessel_id), timezone.now()
    water = water_of(vessel, at=now)
    found = waiting_in(water)
    facts = {
        "vessel": vessel,
        "water": water,
        "clock": latest([one.clock for one in found if not one.stay.is_settled]),
        "waiting": [_told(one, now) for one in found],
        "entries": _entries(found),
        "holds": [(one, subject_of(one)) for one in holds_in(water.member_ids, at=now)],
        "rules": stay_rules_at(vessel.site, at=now),
        "may": people.deeds_of(request.user, vessel.site),
        "now": now,
    }
    return render(request, "quarantine/stay.html", facts)


@login_required
@require_GET
def late_comer(request: SignedRequest) -> HttpResponse:
    """A piece of a sheet: whose dates an entry would move, before it is saved.

    ``?vessel=`` or ``?to_vessel=`` names the tank; ``?lot=`` and ``?source=``, or ``?species=``,
    who enters.
    """
    asked = request.GET
    vessel = _find(Vessel, request, asked.get("vessel") or asked.get("to_vessel"))
    if not isinstance(vessel, Vessel):
        return render(request, "quarantine/_late_comer.html", {"found": None})
    timezone.activate(vessel.site.zone)
    now = timezone.now()
    found = foreseen(
        vessel,
        at=now,
        lot=_find(Lot, request, asked.get("lot")),
        source=_find(Vessel, request, asked.get("source")),
        species=_find(Species, request, asked.get("species")),
    )
    holds = holds_in(water_of(vessel, at=now).member_ids, at=now)
    facts = {"found": found, "vessel": vessel, "holds": [(one, subject_of(one)) for one in holds]}
    return render(request, "quarantine/_late_comer.html", facts)


def foreseen(
    vessel: Vessel,
    *,
    at: datetime,
    lot: Lot | None = None,
    source: Vessel | None = None,
    species: Species | None = None,
) -> Consequences | None:
    """What the entry would do; None where it stays in one water and enters nothing."""
    if source is not None and source.pk in water_of(vessel, at=at).member_ids:
        return None
    return consequences(vessel, at=at, lot=lot, source=source, species=species)


def _find(model: Any, request: SignedRequest, key: str | None) -> Any:
    """The row of that id, if the person may see it; what is no id is nobody."""
    try:
        pk = UUID(key or "")
    except ValueError:
        return None
    return model.objects.open_to(request.user).filter(pk=pk).select_related("site").first()


def _place(request: SignedRequest, site: Site, now: datetime) -> dict[str, Any]:
    holds = holds_at(site, at=now)
    rows = [_water(water, found, holds, now) for water, found in waiting_at(site, at=now)]
    return {
        "site": site,
        "rows": sorted(rows, key=_soonest),
        "rules": stay_rules_at(site, at=now),
        "may": people.deeds_of(request.user, site),
    }


def _water(water: Water, found: list[Waiting], holds: list[Hold], now: datetime) -> dict[str, Any]:
    still = [one for one in found if not one.stay.is_settled]
    clock = latest([one.clock for one in still])
    lots = list(dict.fromkeys(one.lot for one in found))
    return {
        "water": water,
        "lots": lots,
        "count": sum(one.count for one in found),
        "waits": bool(still),
        "clock": clock,
        "is_over": clock.is_over(now),
        "holds": [one for one in holds if one.vessel_id in water.member_ids or one.lot in lots],
    }


def _soonest(row: dict[str, Any]) -> tuple[bool, bool, float, str]:
    ends_at = row["clock"].ends_at
    when = ends_at.timestamp() if ends_at else 0.0
    return not row["waits"], ends_at is None, when, row["water"].anchor.code


def _told(one: Waiting, now: datetime) -> dict[str, Any]:
    return {"row": one, "is_over": one.clock.is_over(now), "entered": one.stay.last}


def _entries(found: list[Waiting]) -> list[Any]:
    """What entered this water, latest first, each told once."""
    entries = {entry for one in found for entry in one.stay.entries}
    return sorted(entries, key=lambda entry: (entry.at, entry.told), reverse=True)
