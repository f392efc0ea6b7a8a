"""What holds water, what it is labelled, how much it holds, and what it is open to."""

import uuid
from typing import Self

from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import DateTimeRangeField, RangeOperators
from django.db import models
from django.db.models import Q

from facility.models import Area, Fact, FactQuerySet, Person, Site


class VesselQuerySet(models.QuerySet["Vessel"]):
    def open_to(self, person: Person) -> Self:
        return self.filter(site__in=Site.objects.open_to(person))


class Vessel(models.Model):
    """A tank, or the core of a system: its sump and pipework.

    ``code`` is the name people say and may change; labels carry codes of their own.
    """

    class Kind(models.TextChoices):
        TANK = "TANK", "Tank"
        SYSTEM = "SYSTEM", "System (sump and pipework)"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="vessels")
    area = models.ForeignKey(Area, models.PROTECT, related_name="vessels")
    kind = models.CharField(max_length=10, choices=Kind)
    code = models.CharField(max_length=20)
    name = models.CharField(max_length=120, blank=True)
    opened_at = models.DateTimeField()
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = VesselQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["site", "code"], name="tanks_vessel_code"),
            models.CheckConstraint(
                condition=Q(kind__in=["TANK", "SYSTEM"]), name="tanks_vessel_kind"
            ),
            models.CheckConstraint(
                condition=Q(retired_at=None) | Q(retired_at__gt=models.F("opened_at")),
                name="tanks_vessel_retired_after_opened",
            ),
        ]

    def __str__(self) -> str:
        return self.code


class Label(models.Model):
    """A printed code. It is never used again, and keeps leading to its vessel after a rename."""

    code = models.CharField(primary_key=True, max_length=7)
    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="labels")
    made_at = models.DateTimeField()
    retired_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return self.code


class Volume(Fact):
    """Net litres of one vessel from ``happened_at`` on, and how they are known.

    ``basis`` holds the meter readings or the geometry that gave the figure.
    """

    class Means(models.TextChoices):
        METERED = "METERED", "Metered fill"
        GEOMETRY = "GEOMETRY", "Geometry less displacement"

    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="volumes")
    means = models.CharField(max_length=10, choices=Means)
    litres = models.DecimalField(max_digits=10, decimal_places=2)
    basis = models.JSONField()

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(litres__gt=0), name="tanks_volume_litres"),
            models.CheckConstraint(
                condition=Q(means__in=["METERED", "GEOMETRY"]), name="tanks_volume_means"
            ),
        ]
        indexes = [models.Index(fields=["vessel", "-happened_at"], name="tanks_volume_latest")]


class Connection(models.Model):
    """``vessel`` stands open to the core of ``system`` during ``period``.

    The only change the database allows is to end a period that has no end yet.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="connections")
    system = models.ForeignKey(Vessel, models.PROTECT, related_name="inlets")
    valve = models.CharField(max_length=60, blank=True)
    period = DateTimeRangeField()

    class Meta:
        constraints = [
            ExclusionConstraint(
                name="tanks_connection_one_at_a_time",
                expressions=[
                    ("vessel", RangeOperators.EQUAL),
                    ("period", RangeOperators.OVERLAPS),
                ],
            ),
            models.CheckConstraint(
                condition=~Q(vessel=models.F("system")), name="tanks_connection_not_to_itself"
            ),
            models.CheckConstraint(
                condition=Q(period__startswith__isnull=False, period__isempty=False),
                name="tanks_connection_begins",
            ),
        ]
