import uuid
from typing import Self
from zoneinfo import ZoneInfo

from django.db import models

from facility.models.people import Person


class SiteQuerySet(models.QuerySet["Site"]):
    def open_to(self, person: Person) -> Self:
        """Sites where the person has a membership that has not ended."""
        return self.filter(memberships__person=person, memberships__until=None)


class Site(models.Model):
    """One address: it has one clock, one jurisdiction and one ledger."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=120, unique=True)
    time_zone = models.CharField(max_length=60)
    jurisdiction = models.CharField(max_length=60)
    opened_at = models.DateTimeField()

    objects = SiteQuerySet.as_manager()

    def __str__(self) -> str:
        return self.name

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.time_zone)


class AreaQuerySet(models.QuerySet["Area"]):
    def open_to(self, person: Person) -> Self:
        return self.filter(site__in=Site.objects.open_to(person))


class Area(models.Model):
    """A room, row or rack; work goes from low hygiene rank (clean) to high (dirty)."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="areas")
    name = models.CharField(max_length=120)
    hygiene_rank = models.PositiveSmallIntegerField()
    opened_at = models.DateTimeField()

    objects = AreaQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["site", "name"], name="facility_area_name"),
            models.CheckConstraint(
                condition=models.Q(hygiene_rank__gte=1, hygiene_rank__lte=9),
                name="facility_area_hygiene_rank",
            ),
        ]

    def __str__(self) -> str:
        return self.name
