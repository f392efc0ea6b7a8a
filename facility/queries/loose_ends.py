"""What is not put right yet: the house's own loose ends, and those that other apps know of."""

from collections.abc import Iterable, Iterator
from datetime import datetime
from uuid import UUID

from django.db.models import Q
from django.urls import reverse

from facility.models import LooseEnd, Site
from facility.sockets.loose_ends import Loose, loose_end_sources
from facility.sockets.subjects import Place, places_of
from facility.sockets.work import Due


def loose_in(site: Site, at: datetime) -> list[Loose]:
    """Everything loose at the site at that moment: overdue first, then by when it is due back."""
    found = [one for source in loose_end_sources for one in source.loose(site.pk, at)]
    return sorted(found, key=lambda one: (one.due_back_at, one.hygiene_rank, one.key))


def loose_about(abouts: Iterable[str], at: datetime) -> list[Loose]:
    """What of it concerns one of these subjects, such as all vessels of one water."""
    wanted = frozenset(abouts)
    ids = {place.site_id for place in places_of(wanted).values()}
    sites = Site.objects.filter(pk__in=ids).order_by("name", "pk")
    return [one for site in sites for one in loose_in(site, at) if one.subjects & wanted]


def own(site_id: UUID, at: datetime) -> Iterator[Loose]:
    """The house's own rows: hoses, holds, prepared water, contact times and the rest."""
    rows = LooseEnd.objects.current().filter(site=site_id, happened_at__lte=at)
    rows = rows.filter(Q(returned=None) | Q(returned__happened_at__gt=at))
    found = list(rows.select_related("owner", "site").order_by("due_back_at", "pk"))
    places = places_of({row.about for row in found})
    yield from (_loose(row, places.get(row.about), at) for row in found)


def own_duties(site_id: UUID, at: datetime) -> Iterator[Due]:
    """Those of the house's own that are to be put right today, or were before."""
    site = Site.objects.get(pk=site_id)
    today = at.astimezone(site.zone).date()
    for one in own(site_id, at):
        if one.due_back_at.astimezone(site.zone).date() <= today:
            yield _due(one)


def _due(one: Loose) -> Due:
    table, _, key = one.about.partition(":")
    return Due(
        key=one.key,
        title=f"Put right: {one.what}",
        why=f"{one.why}. {one.owner_name} answers for it.",
        place=one.place,
        hygiene_rank=one.hygiene_rank,
        due_at=one.due_back_at,
        url=one.return_url,
        vessel_ids=frozenset([UUID(key)]) if table == "tanks.vessel" else frozenset(),
    )


def _loose(row: LooseEnd, place: Place | None, at: datetime) -> Loose:
    return Loose(
        key=f"facility.looseend:{row.pk}",
        kind=row.get_kind_display(),
        what=row.what,
        why=row.why,
        owner_id=row.owner_id,
        owner_name=row.owner.full_name,
        since=row.happened_at,
        due_back_at=row.due_back_at,
        about=row.about,
        place=place.name if place else row.site.name,
        hygiene_rank=place.hygiene_rank if place else 1,
        url=place.url if place else "",
        return_url=reverse("facility:return-loose-end", args=[row.pk]),
        later_url=reverse("facility:extend-loose-end", args=[row.pk]),
        is_overdue=row.due_back_at <= at,
    )
