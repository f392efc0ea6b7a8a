"""Where a person's hands were today, and what they said about the steps in between."""

from collections.abc import Iterator
from datetime import datetime
from typing import Final

from facility.models import Entry, HygieneBreak, Person, Site
from facility.rules.hygiene import HandsOn, Said, Step, step_to_ask_about
from facility.sockets.deeds import deeds
from facility.sockets.subjects import places_of

# More lines than a site writes in a day; the index then gives a day's lines without a search.
_LATEST: Final = 3000


def step_asked(person: Person, *, site: Site, to_rank: int, at: datetime) -> Step | None:
    """Return the step to an area of ``to_rank`` that the person is to be asked about, or None."""
    since = _midnight(site, at)
    acts = list(_acts(person, site, since, at))
    if all(act.rank <= to_rank for act in acts):
        return None
    return step_to_ask_about(to_rank, acts=acts, said=_said(person, site, since, at))


def breaks_left_out(site: Site, *, since: datetime, until: datetime) -> list[HygieneBreak]:
    """Steps from dirty to clean without both kit and hands, latest first."""
    rows = HygieneBreak.objects.current().filter(site=site, happened_at__gte=since)
    rows = rows.filter(happened_at__lt=until).exclude(kit_changed=True, hands_disinfected=True)
    return list(rows.select_related("by").order_by("-happened_at", "pk"))


def _acts(person: Person, site: Site, since: datetime, at: datetime) -> Iterator[HandsOn]:
    kinds = [deed.name for deed in deeds if deed.is_hands_on]
    latest = Entry.objects.filter(site=site).order_by("-number").values("pk")[:_LATEST]
    lines = Entry.objects.filter(
        pk__in=latest, by=person, kind__in=kinds, happened_at__gte=since, happened_at__lte=at
    )
    told = list(lines.order_by("number").values_list("about", "happened_at"))
    places = places_of({about for about, _ in told})
    for about, happened_at in told:
        if place := places.get(about):
            yield HandsOn(at=happened_at, rank=place.hygiene_rank)


def _said(person: Person, site: Site, since: datetime, at: datetime) -> list[Said]:
    rows = HygieneBreak.objects.current().filter(
        site=site, by=person, happened_at__gte=since, happened_at__lte=at
    )
    return [
        Said(
            at=row.happened_at,
            to_rank=row.to_rank,
            is_full=row.kit_changed and row.hands_disinfected,
        )
        for row in rows
    ]


def _midnight(site: Site, at: datetime) -> datetime:
    return at.astimezone(site.zone).replace(hour=0, minute=0, second=0, microsecond=0)
