"""What the alarm rules see in rooms and at the site itself: what was not put right in time."""

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
from tanks.rules.alarms.judging import judged
from tanks.rules.alarms.known import Known

# Subjects that hold no water.
PLACES: Final = ("facility.area:", "facility.site:")


@dataclass(frozen=True, slots=True, kw_only=True)
class OverduePlace:
    """A room, or the site, with every sign the rules see there now."""

    about: str
    name: str
    url: str
    area_id: UUID | None
    seen: tuple[Seen, ...]


def overdue_places(site: Site, *, at: datetime) -> list[OverduePlace]:
    """Every place of the site with something past its time."""
    here = [one for one in loose_in(site, at) if one.is_overdue and one.about.startswith(PLACES)]
    here.sort(key=lambda one: (one.about, one.due_back_at, one.key))
    return [
        _place(about, list(some), site, at)
        for about, some in groupby(here, key=lambda one: one.about)
    ]


def _place(about: str, loose: Sequence[Loose], site: Site, at: datetime) -> OverduePlace:
    place = places_of([about]).get(about)
    known = Known(at=at, kind="", stage="", points={}, loans=tuple(map(loan_of, loose)))
    return OverduePlace(
        about=about,
        name=place.name if place else site.name,
        url=reverse("facility:closing-list"),
        area_id=place.area_id if place else None,
        seen=tuple(judged(rules_at(site, at=at), known)),
    )
