"""Consignments, the lots that come of them, and the one book of how many animals are where."""

import uuid
from typing import Final, Self

from django.db import models
from django.db.models import Q

from facility.models import Fact, FactQuerySet, Person, Site
from quarantine.models.species import Species, Supplier
from tanks.models import Vessel

INWARD: Final = ("ARRIVED", "BRED", "FOUND")
OUTWARD: Final = ("DIED", "EUTHANISED", "SOLD", "LEFT", "MISSING")
THROUGH: Final = ("MOVED", "SPLIT", "MERGED")


class ConsignmentQuerySet(models.QuerySet["Consignment"]):
    def open_to(self, person: Person) -> Self:
        return self.filter(site__in=Site.objects.open_to(person))


class Consignment(models.Model):
    """Animals that come together from one supplier, in boxes.

    ``papers`` lists what travels with it: ``{"kind", "number", "valid_until"}``.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="consignments")
    supplier = models.ForeignKey(Supplier, models.PROTECT, related_name="consignments")
    reference = models.CharField(max_length=60)
    origin_country = models.CharField(max_length=2, blank=True)
    papers = models.JSONField(default=list)
    announced_at = models.DateTimeField()
    departed_at = models.DateTimeField(null=True, blank=True)
    expected_at = models.DateTimeField(null=True, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)

    objects = ConsignmentQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["site", "supplier", "reference"], name="quarantine_consignment_reference"
            ),
        ]

    def __str__(self) -> str:
        return self.reference


class LotQuerySet(models.QuerySet["Lot"]):
    def open_to(self, person: Person) -> Self:
        return self.filter(site__in=Site.objects.open_to(person))


class Lot(models.Model):
    """One species from one supplier in one consignment on one day; its book says how many.

    ``source_code`` is the letter of 50 CFR 23.24 where papers ask for one.
    """

    class Sex(models.TextChoices):
        UNKNOWN = "UNKNOWN", "Not known"
        MALE = "MALE", "Male"
        FEMALE = "FEMALE", "Female"
        MIXED = "MIXED", "Both"
        HERMAPHRODITE = "HERMAPHRODITE", "Hermaphrodite"

    class Made(models.TextChoices):
        ARRIVED = "ARRIVED", "Arrived"
        BRED = "BRED", "Bred here"
        FOUND = "FOUND", "Here when the book was opened"
        SPLIT = "SPLIT", "Split from another lot"
        MERGED = "MERGED", "Merged from other lots"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="lots")
    code = models.CharField(max_length=20)
    species = models.ForeignKey(Species, models.PROTECT, related_name="lots")
    supplier = models.ForeignKey(
        Supplier, models.PROTECT, related_name="lots", null=True, blank=True
    )
    consignment = models.ForeignKey(
        Consignment, models.PROTECT, related_name="lots", null=True, blank=True
    )
    acquired_at = models.DateTimeField()
    sex = models.CharField(max_length=14, choices=Sex, default=Sex.UNKNOWN)
    source_code = models.CharField(max_length=1, blank=True)
    made = models.CharField(max_length=8, choices=Made)
    note = models.CharField(max_length=300, blank=True)

    objects = LotQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["site", "code"], name="quarantine_lot_code"),
        ]

    def __str__(self) -> str:
        return self.code


class LotParent(models.Model):
    """``child`` was split from, or merged with others from, ``parent``."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    child = models.ForeignKey(Lot, models.PROTECT, related_name="parents")
    parent = models.ForeignKey(Lot, models.PROTECT, related_name="children")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["child", "parent"], name="quarantine_lotparent_once"),
            models.CheckConstraint(
                condition=~Q(child=models.F("parent")), name="quarantine_lotparent_not_itself"
            ),
        ]


class CountChange(Fact):
    """``count`` animals passed from one account, a lot in a vessel, to another.

    Without ``from_lot`` they came from outside; without ``to_lot`` they are gone. Dead on
    arrival names the lot they were counted for and no vessel. A corrected count has one side:
    more were there than the book said, or fewer.
    """

    class Kind(models.TextChoices):
        ARRIVED = "ARRIVED", "Arrived"
        DEAD_ON_ARRIVAL = "DEAD_ON_ARRIVAL", "Dead on arrival"
        BRED = "BRED", "Bred here"
        FOUND = "FOUND", "Found"
        DIED = "DIED", "Died"
        EUTHANISED = "EUTHANISED", "Euthanised"
        SOLD = "SOLD", "Sold"
        LEFT = "LEFT", "Left the site"
        MISSING = "MISSING", "Not found"
        MOVED = "MOVED", "Moved"
        SPLIT = "SPLIT", "Split off"
        MERGED = "MERGED", "Merged"
        CORRECTED = "CORRECTED", "Count corrected"

    kind = models.CharField(max_length=16, choices=Kind)
    count = models.PositiveIntegerField()
    from_lot = models.ForeignKey(
        Lot, models.PROTECT, related_name="changes_out", null=True, blank=True
    )
    from_vessel = models.ForeignKey(
        Vessel, models.PROTECT, related_name="changes_out", null=True, blank=True
    )
    to_lot = models.ForeignKey(
        Lot, models.PROTECT, related_name="changes_in", null=True, blank=True
    )
    to_vessel = models.ForeignKey(
        Vessel, models.PROTECT, related_name="changes_in", null=True, blank=True
    )
    note = models.CharField(max_length=300, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(count__gt=0), name="quarantine_countchange_count"),
            models.CheckConstraint(
                condition=Q(
                    kind__in=INWARD,
                    from_lot=None,
                    from_vessel=None,
                    to_lot__isnull=False,
                    to_vessel__isnull=False,
                )
                | Q(
                    kind__in=OUTWARD,
                    from_lot__isnull=False,
                    from_vessel__isnull=False,
                    to_lot=None,
                    to_vessel=None,
                )
                | Q(
                    kind__in=THROUGH,
                    from_lot__isnull=False,
                    from_vessel__isnull=False,
                    to_lot__isnull=False,
                    to_vessel__isnull=False,
                )
                | Q(
                    kind="DEAD_ON_ARRIVAL",
                    from_lot=None,
                    from_vessel=None,
                    to_lot__isnull=False,
                    to_vessel=None,
                )
                | Q(
                    kind="CORRECTED",
                    from_lot=None,
                    from_vessel=None,
                    to_lot__isnull=False,
                    to_vessel__isnull=False,
                )
                | Q(
                    kind="CORRECTED",
                    from_lot__isnull=False,
                    from_vessel__isnull=False,
                    to_lot=None,
                    to_vessel=None,
                ),
                name="quarantine_countchange_sides",
            ),
            models.CheckConstraint(
                condition=~Q(kind="MOVED")
                | (Q(from_lot=models.F("to_lot")) & ~Q(from_vessel=models.F("to_vessel"))),
                name="quarantine_countchange_moves",
            ),
            models.CheckConstraint(
                condition=~Q(kind__in=["SPLIT", "MERGED"]) | ~Q(from_lot=models.F("to_lot")),
                name="quarantine_countchange_between_lots",
            ),
        ]
        indexes = [
            models.Index(fields=["from_lot", "happened_at"], name="quarantine_change_from"),
            models.Index(fields=["to_lot", "happened_at"], name="quarantine_change_to"),
            models.Index(fields=["from_vessel", "happened_at"], name="quarantine_change_from_v"),
            models.Index(fields=["to_vessel", "happened_at"], name="quarantine_change_to_v"),
        ]
