"""What was done to a water lately, and whether a start-up runs or animals live in it."""

from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Q, QuerySet

from tanks.models import Cycle, Dose, Feeding
from tanks.queries.cycles import cycles_of
from tanks.queries.waters import Water, openings, spans_of, within
from tanks.rules.waters import Opening, members_at, spans
from tanks.sockets.stocking import stocked_since


def doses_in(water: Water, *, since: datetime, until: datetime) -> QuerySet[Dose]:
    """Doses now held true that went into this water between two moments, newest first."""
    befell = _befell(water, since=since, until=until)
    rows = Dose.objects.current().filter(befell).select_related("product", "by", "vessel")
    return rows.order_by("-happened_at", "-recorded_at", "pk")


def latest_doses(water: Water, *, days: int = 14) -> QuerySet[Dose]:
    return doses_in(water, since=water.at - timedelta(days=days), until=water.at)[:5]


def feedings_today(water: Water) -> QuerySet[Feeding]:
    befell = _befell(water, since=_midnight(water), until=water.at)
    rows = Feeding.objects.current().filter(befell).select_related("by", "vessel")
    return rows.order_by("-happened_at", "-recorded_at", "pk")


def latest_cycle_in(water: Water) -> Cycle | None:
    """Return the start-up begun last in this water, ended or not."""
    rows = cycles_of(water.member_ids).filter(started_at__lte=water.at)
    return rows.first()


def holds_animals(water: Water) -> bool:
    return animals_since(water) is not None


def animals_since(water: Water) -> datetime | None:
    """Since when animals are in this water, or None.

    They may be in any vessel that shared the stocked water since; a start-up begun later there
    tells that they are out again.
    """
    links = openings(water.anchor.site)
    begun = list(Cycle.objects.filter(vessel__site=water.anchor.site, started_at__lte=water.at))
    moments = _stocked_at(begun, water.at)
    found = [
        since
        for cycle in begun
        if (since := moments.get(cycle.pk))
        and (_reached(cycle, since, links, water) - _emptied(begun, since, links))
    ]
    return min(found, default=None)


def _stocked_at(cycles: list[Cycle], at: datetime) -> dict[UUID, datetime]:
    found = dict(stocked_since([cycle.pk for cycle in cycles]))
    for cycle in cycles:
        if cycle.outcome == Cycle.Outcome.STOCKED and cycle.ended_at is not None:
            found[cycle.pk] = min(cycle.ended_at, found.get(cycle.pk, cycle.ended_at))
    return {pk: since for pk, since in found.items() if since <= at}


def _reached(cycle: Cycle, since: datetime, links: list[Opening], water: Water) -> frozenset[UUID]:
    """Vessels of this water that stood open to the stocked one since animals entered."""
    until = water.at + timedelta.resolution
    shared = (span.members for span in spans(cycle.vessel_id, links, since=since, until=until))
    return frozenset().union(*shared) & water.member_ids


def _emptied(cycles: list[Cycle], since: datetime, links: list[Opening]) -> frozenset[UUID]:
    later = (cycle for cycle in cycles if cycle.started_at > since)
    waters = (members_at(each.vessel_id, links, at=each.started_at) for each in later)
    return frozenset().union(*waters)


def _befell(water: Water, *, since: datetime, until: datetime) -> Q:
    after = until + timedelta.resolution
    return within(spans_of(water.anchor, since=since, until=after))


def _midnight(water: Water) -> datetime:
    local = water.at.astimezone(water.anchor.site.zone)
    return local.replace(hour=0, minute=0, second=0, microsecond=0)
