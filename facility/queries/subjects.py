"""Sites and areas as subjects of work."""

from collections.abc import Collection
from datetime import datetime
from uuid import UUID

from django.urls import reverse

from facility.models import Area, Site
from facility.sockets.subjects import Place

CLEANEST_RANK = 1


def sites_as_places(ids: Collection[UUID]) -> dict[UUID, Place]:
    rows = Site.objects.filter(pk__in=ids)
    return {
        row.pk: Place(
            name=row.name,
            url=reverse("facility:tasks"),
            area_id=None,
            hygiene_rank=CLEANEST_RANK,
            site_id=row.pk,
        )
        for row in rows
    }


def areas_as_places(ids: Collection[UUID]) -> dict[UUID, Place]:
    rows = Area.objects.filter(pk__in=ids)
    return {
        row.pk: Place(
            name=row.name,
            url=reverse("facility:tasks"),
            area_id=row.pk,
            hygiene_rank=row.hygiene_rank,
            site_id=row.site_id,
        )
        for row in rows
    }


def site_alone(id_: UUID, _: datetime) -> frozenset[str]:
    return frozenset({f"facility.site:{id_}"})


def area_alone(id_: UUID, _: datetime) -> frozenset[str]:
    return frozenset({f"facility.area:{id_}"})


def the_site(site_id: UUID, _: datetime) -> list[tuple[UUID, str]]:
    rows = Site.objects.filter(pk=site_id)
    return [(row.pk, f"The whole of {row.name}") for row in rows]


def areas_at(site_id: UUID, _: datetime) -> list[tuple[UUID, str]]:
    rows = Area.objects.filter(site=site_id).order_by("hygiene_rank", "name")
    return [(row.pk, row.name) for row in rows]
