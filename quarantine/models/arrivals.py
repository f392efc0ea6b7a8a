"""Boxes as they were opened, the labels of lots, and how animals are acclimated."""

import uuid
from typing import Self

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import Q

from facility.models import Fact, FactQuerySet, Person, Site
from quarantine.models.lots import Consignment, Lot
from quarantine.models.species import Species
from tanks.models import Vessel


class ProtocolQuerySet(models.QuerySet["Protocol"]):
    def open_to(self, person: Person) -> Self:
        return self.filter(site__in=Site.objects.open_to(person))


class Protocol(models.Model):
    """The site's own way to acclimate animals; another edition is another row."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="protocols")
    name = models.CharField(max_length=80)
    edition = models.CharField(max_length=20)
    steps = models.CharField(max_length=2000)
    opened_at = models.DateTimeField()
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = ProtocolQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["site", "name", "edition"], name="quarantine_protocol_edition"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.edition}"


class Box(Fact):
    """What one box, or one ``bag`` of it, held when it was opened.

    ``weak`` are among ``alive``. ``sample`` lists what was read of the bag's water:
    ``{"parameter", "text", "unit", "basis"}`` as entered. ``photos`` names photos, of which
    some may arrive later. The book of the lot holds the counts in ``vessel``.
    """

    consignment = models.ForeignKey(Consignment, models.PROTECT, related_name="boxes")
    number = models.CharField(max_length=20)
    bag = models.CharField(max_length=20, blank=True)
    species = models.ForeignKey(Species, models.PROTECT, related_name="boxes")
    lot = models.ForeignKey(Lot, models.PROTECT, related_name="boxes", null=True, blank=True)
    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="boxes", null=True, blank=True)
    invoiced = models.PositiveIntegerField()
    alive = models.PositiveIntegerField()
    dead_on_arrival = models.PositiveIntegerField()
    weak = models.PositiveIntegerField()
    sample = models.JSONField(default=list)
    photos = ArrayField(models.UUIDField(), default=list)
    protocol = models.ForeignKey(
        Protocol, models.PROTECT, related_name="boxes", null=True, blank=True
    )
    note = models.CharField(max_length=300, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(weak__lte=models.F("alive")), name="quarantine_box_weak_are_alive"
            ),
            models.CheckConstraint(
                condition=Q(alive=0) | Q(vessel__isnull=False),
                name="quarantine_box_alive_in_a_vessel",
            ),
            models.CheckConstraint(
                condition=Q(alive=0, dead_on_arrival=0) | Q(lot__isnull=False),
                name="quarantine_box_animals_in_a_lot",
            ),
            models.CheckConstraint(condition=~Q(number=""), name="quarantine_box_number"),
            models.UniqueConstraint(
                fields=["consignment", "number", "bag"],
                condition=Q(corrects=None),
                name="quarantine_box_once",
            ),
        ]
        indexes = [
            models.Index(fields=["consignment", "happened_at"], name="quarantine_box_opened")
        ]


class LotLabel(models.Model):
    """A printed code on a lot; never used again."""

    code = models.CharField(primary_key=True, max_length=7)
    lot = models.ForeignKey(Lot, models.PROTECT, related_name="labels")
    made_at = models.DateTimeField()
    retired_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return self.code
