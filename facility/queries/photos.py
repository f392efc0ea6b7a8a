"""Pictures people took, without their bytes until one is shown."""

from collections.abc import Collection
from uuid import UUID

from django.db.models import QuerySet

from facility.models import Person, Photo, Site


def photos_named(ids: Collection[UUID]) -> list[Photo]:
    """Those of the named photos that have arrived, oldest first, without their bytes."""
    rows = Photo.objects.current().filter(pk__in=ids).defer("jpeg").select_related("by")
    return list(rows.order_by("happened_at", "pk"))


def photos_about(about: str) -> list[Photo]:
    """Every photo of a subject, oldest first, without their bytes."""
    rows = Photo.objects.current().filter(about=about).defer("jpeg").select_related("by")
    return list(rows.order_by("happened_at", "pk"))


def photos_open_to(person: Person) -> QuerySet[Photo]:
    return Photo.objects.filter(site__in=Site.objects.open_to(person))
