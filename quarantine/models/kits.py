"""Nets, siphons and buckets, and batches of feed: what goes from tank to tank with a code."""

import uuid
from typing import Self

from django.db import models
from django.db.models import Q

from facility.models import Area, Fact, FactQuerySet, Person, Site
from tanks.models import Vessel


class KitQuerySet(models.QuerySet["Kit"]):
    def open_to(self, person: Person) -> Self:
        return self.filter(site__in=Site.objects.open_to(person))


class Kit(models.Model):
    """One thing, or a set kept together, that touches water; ``code`` is what people say.

    With an ``area`` it belongs there and should not leave it.
    """

    class Kind(models.TextChoices):
        NET = "NET", "Net"
        SIPHON = "SIPHON", "Siphon or hose"
        BUCKET = "BUCKET", "Bucket or beaker"
        SET = "SET", "Set kept together"
        OTHER = "OTHER", "Other kit"
        FEED_BATCH = "FEED_BATCH", "Batch of feed"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="kits")
    area = models.ForeignKey(Area, models.PROTECT, related_name="+", null=True, blank=True)
    kind = models.CharField(max_length=10, choices=Kind)
    code = models.CharField(max_length=20)
    name = models.CharField(max_length=120, blank=True)
    opened_at = models.DateTimeField()
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = KitQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["site", "code"], name="quarantine_kit_code"),
            models.CheckConstraint(
                condition=Q(retired_at=None) | Q(retired_at__gte=models.F("opened_at")),
                name="quarantine_kit_retired_after_opened",
            ),
        ]

    def __str__(self) -> str:
        return self.code


class KitLabel(models.Model):
    """A printed code on a kit; never used again."""

    code = models.CharField(primary_key=True, max_length=7)
    kit = models.ForeignKey(Kit, models.PROTECT, related_name="labels")
    made_at = models.DateTimeField()
    retired_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return self.code


class KitUse(Fact):
    """The kit touched the water of ``vessel``, or feed of the batch was given there."""

    kit = models.ForeignKey(Kit, models.PROTECT, related_name="uses")
    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="kit_uses")
    note = models.CharField(max_length=200, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        indexes = [
            models.Index(fields=["kit", "happened_at"], name="quarantine_kituse_kit"),
            models.Index(fields=["vessel", "happened_at"], name="quarantine_kituse_vessel"),
        ]


class KitCleaning(Fact):
    """The kit was cleaned; a rinse alone is on record, but keeps nothing from the next tank."""

    class Means(models.TextChoices):
        DISINFECTED = "DISINFECTED", "Disinfected and rinsed"
        DRIED = "DRIED", "Dried right through"
        RINSED = "RINSED", "Rinsed only"

    kit = models.ForeignKey(Kit, models.PROTECT, related_name="cleanings")
    means = models.CharField(max_length=12, choices=Means)
    disinfectant = models.CharField(max_length=80, blank=True)
    minutes = models.PositiveIntegerField(null=True, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=~Q(means="DISINFECTED")
                | (~Q(disinfectant="") & Q(minutes__isnull=False)),
                name="quarantine_kitcleaning_says_how",
            ),
        ]
        indexes = [
            models.Index(fields=["kit", "happened_at"], name="quarantine_kitcleaning_kit"),
        ]

    @property
    def is_barrier(self) -> bool:
        return self.means != self.Means.RINSED
