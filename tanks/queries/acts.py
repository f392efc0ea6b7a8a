"""What was done to a water lately, and whether a start-up runs or animals live in it."""

from datetime import datetime, timedelta

from django.db.models import Q, QuerySet

from tanks.models import Cycle, Dose, Feeding
from tanks.queries.cycles import cycles_of, open_cycle_in
from tanks.queries.waters import Water, spans_of, within
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
    """Tell whether animals are in this water: the latest start-up in it knows."""
    cycle = open_cycle_in(water) or latest_cycle_in(water)
    if cycle is None:
        return False
    if cycle.outcome == Cycle.Outcome.STOCKED and cycle.ended_at and cycle.ended_at <= water.at:
        return True
    since = stocked_since([cycle.pk]).get(cycle.pk)
    return since is not None and since <= water.at


def _befell(water: Water, *, since: datetime, until: datetime) -> Q:
    after = until + timedelta.resolution
    return within(spans_of(water.anchor, since=since, until=after))


def _midnight(water: Water) -> datetime:
    local = water.at.astimezone(water.anchor.site.zone)
    return local.replace(hour=0, minute=0, second=0, microsecond=0)
