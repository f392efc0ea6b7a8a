"""Bring a site's alerts up to what its alarm rules see: one for each water, room or site."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from uuid import UUID, uuid4

from django.urls import reverse

from facility.commands.alerts import RaiseAlert, raise_alert
from facility.commands.ledger import key_of
from facility.models import Alert, Site
from facility.queries.alerts import standing_at
from tanks.queries.alarms import Watched, watched
from tanks.queries.place_alarms import PLACES, WatchedPlace, watched_places
from tanks.queries.waters import Water


def watch(site: Site, *, at: datetime, of: UUID | None = None) -> list[Alert]:
    """Raise, go on with or let pass what each water gives cause for; returns the alerts touched.

    ``of`` names one vessel: then only its water is looked at. Each alert is a command of its
    own; looked at again, nothing changes.
    """
    found = watched(site, at=at, of=of)
    standing = standing_at(site)
    asked = [one for each in found for one in _asked(each, standing)]
    if of is None:
        asked += _orphans(standing, found)
        asked += _places(site, standing, at)
    touched = (raise_alert(command, by=None, at=at) for command in asked)
    return [alert for alert in touched if alert is not None]


def _asked(each: Watched, standing: Sequence[Alert]) -> Iterable[RaiseAlert]:
    """The water's own alert; those of waters it was joined with since have no signs any more."""
    anchor = key_of(each.water.anchor)
    members = {key_of(member) for member in each.water.members}
    mine = sorted(
        (one for one in standing if one.about in members), key=lambda a: a.about != anchor
    )
    if each.seen or mine:
        yield RaiseAlert(
            id=uuid4(),
            site_id=each.water.anchor.site_id,
            about=mine[0].about if mine else anchor,
            name=each.water.name,
            url=_url(each.water),
            area_id=each.water.anchor.area_id,
            signs=each.seen,
        )
    yield from (_nothing(alert) for alert in mine[1:])


def _orphans(standing: Iterable[Alert], found: Iterable[Watched]) -> list[RaiseAlert]:
    """Alerts about vessels that are in no water now: retired ones."""
    known = {key_of(member) for each in found for member in each.water.members}
    ours = (alert for alert in standing if alert.about.startswith("tanks.vessel:"))
    return [_nothing(alert) for alert in ours if alert.about not in known]


def _places(site: Site, standing: Iterable[Alert], at: datetime) -> list[RaiseAlert]:
    """Rooms and the site itself: what was not put right in time, what its source waters read."""
    found = watched_places(site, at=at)
    seen = {place.about for place in found}
    told = {alert.about for alert in standing}
    ours = (one for one in standing if one.about.startswith(PLACES) and one.about not in seen)
    asked = [_there(one, site) for one in found if one.seen or one.about in told]
    return [*asked, *(_nothing(alert) for alert in ours)]


def _there(place: WatchedPlace, site: Site) -> RaiseAlert:
    return RaiseAlert(
        id=uuid4(),
        site_id=site.pk,
        about=place.about,
        name=place.name,
        url=place.url,
        area_id=place.area_id,
        signs=place.seen,
    )


def _nothing(alert: Alert) -> RaiseAlert:
    return RaiseAlert(
        id=uuid4(),
        site_id=alert.site_id,
        about=alert.about,
        name=alert.name,
        url=alert.url,
        area_id=alert.area_id,
        signs=(),
    )


def _url(water: Water) -> str:
    return reverse("tanks:tank", args=[water.anchor.pk])
