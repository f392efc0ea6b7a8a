"""What the alarm rules see in rooms and at the site itself: overdue things, source waters."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from typing import Final
from uuid import UUID

from django.urls import reverse

from facility.models import Site
from facility.queries.loose_ends import loose_in
from facility.rules.alerts import Seen
from facility.sockets.loose_ends import Loose
from facility.sockets.subjects import places_of
from tanks.queries.alarms import rules_at
from tanks.queries.loans import loan_of
from tanks.queries.sources import source_points
from tanks.rules.alarms.judging import judged
from tanks.rules.alarms.known import Known, Rule

# Subjects that hold no water.
PLACES: Final = ("facility.area:", "facility.site:")


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchedPlace:
    """A room, or the site, with every sign the rules see there now; there may be none."""

    about: str
    name: str
    url: str
    area_id: UUID | None
    seen: tuple[Seen, ...]


def watched_places(site: Site, *, at: datetime) -> list[WatchedPlace]:
    """The site, and every room with something past its time."""
    rules = rules_at(site, at=at)
    here = [one for one in loose_in(site, at) if one.is_overdue and one.about.startswith(PLACES)]
    here.sort(key=lambda one: (one.about, one.due_back_at, one.key))
    loose = {about: list(some) for about, some in groupby(here, key=lambda one: one.about)}
    own = f"facility.site:{site.pk}"
    rooms = [_room(about, some, rules, at) for about, some in loose.items() if about != own]
    return [_site(site, own, loose.get(own, []), rules, at), *rooms]


def _site(
    site: Site, about: str, loose: Sequence[Loose], rules: Sequence[Rule], at: datetime
) -> WatchedPlace:
    seen = judged(rules, _known(loose, at, of=site))
    page = "facility:closing-list" if loose else "tanks:source-readings"
    return WatchedPlace(
        about=about, name=site.name, url=reverse(page), area_id=None, seen=tuple(seen)
    )


def _room(about: str, loose: Sequence[Loose], rules: Sequence[Rule], at: datetime) -> WatchedPlace:
    place = places_of([about]).get(about)
    return WatchedPlace(
        about=about,
        name=place.name if place else loose[0].place,
        url=reverse("facility:closing-list"),
        area_id=place.area_id if place else None,
        seen=tuple(judged(rules, _known(loose, at))),
    )


def _known(loose: Sequence[Loose], at: datetime, *, of: Site | None = None) -> Known:
    sources = source_points(of, at=at) if of else ()
    loans = tuple(map(loan_of, loose))
    return Known(at=at, kind="", stage="", points={}, loans=loans, sources=sources)
