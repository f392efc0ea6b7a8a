"""The way past the tanks of an area, and what was seen on it."""

from dataclasses import dataclass
from datetime import datetime

from facility.models import Area
from tanks.models import Vessel, Walk, WalkSign
from tanks.queries.waters import standing
from tanks.rules.walking import walking_key


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """One tank on its latest walk; no ``signs`` means that it was well."""

    walk: Walk
    signs: tuple[WalkSign, ...]


def on_the_way(area: Area, *, at: datetime) -> list[Vessel]:
    """What stands in the area at that moment, in walking order."""
    rows = standing(area.site, at).filter(area=area)
    return sorted(rows, key=lambda vessel: (walking_key(vessel.code), str(vessel.pk)))


def latest_walk(area: Area, *, at: datetime) -> Walk | None:
    rows = Walk.objects.current().filter(area=area, happened_at__lte=at).select_related("by")
    walk: Walk | None = rows.order_by("-happened_at", "-recorded_at", "pk").first()
    return walk


def seen_last(vessel: Vessel, *, at: datetime) -> Seen | None:
    """Return the latest walk past this tank, with what was seen of it."""
    rows = Walk.objects.current().filter(area=vessel.area_id, seen__contains=[vessel.pk])
    rows = rows.filter(happened_at__lte=at).select_related("by")
    walk = rows.order_by("-happened_at", "-recorded_at", "pk").first()
    if walk is None:
        return None
    signs = WalkSign.objects.current().filter(walk=walk, vessel=vessel)
    return Seen(walk=walk, signs=tuple(signs.order_by("sign", "pk")))
