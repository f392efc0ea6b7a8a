"""What kinds of animals are kept here, what they need, and who supplies them."""

import uuid
from typing import Self

from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import DateTimeRangeField, RangeOperators
from django.db import models
from django.db.models import Q

from facility.models import Person, Site
from tanks.models import Cycle
from tanks.models.policies import Sourced


class SpeciesQuerySet(models.QuerySet["Species"]):
    def open_to(self, person: Person) -> Self:
        return self.filter(site__in=Site.objects.open_to(person))


class Species(models.Model):
    """A kind of animal; the two names are Darwin Core's scientificName and vernacularName."""

    class Group(models.TextChoices):
        FISH = "FISH", "Bony fish"
        ELASMOBRANCH = "ELASMOBRANCH", "Sharks and rays"
        AMPHIBIAN = "AMPHIBIAN", "Amphibians"
        CRUSTACEAN = "CRUSTACEAN", "Crustaceans"
        MOLLUSC = "MOLLUSC", "Molluscs"
        CORAL = "CORAL", "Corals and anemones"
        OTHER_INVERTEBRATE = "OTHER_INVERTEBRATE", "Other invertebrates"
        PLANT = "PLANT", "Plants and algae"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="species")
    scientific_name = models.CharField(max_length=120)
    vernacular_name = models.CharField(max_length=120, blank=True)
    group = models.CharField(max_length=20, choices=Group)
    water_kind = models.CharField(max_length=8, choices=Cycle.WaterKind)

    objects = SpeciesQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["site", "scientific_name"], name="quarantine_species_name"
            ),
        ]

    def __str__(self) -> str:
        return self.scientific_name

    @property
    def is_invertebrate(self) -> bool:
        return self.group in {"CRUSTACEAN", "MOLLUSC", "CORAL", "OTHER_INVERTEBRATE"}


class SpeciesSheet(Sourced):
    """What a species needs, for as long as ``period`` says; an empty figure is not known.

    ``stops`` lists what must not reach it: ``{"agent": code, "why": sentence}``.
    ``months_run`` is how long a water must have run before it may enter; ``stocking_order``
    is its place in a newly stocked water, low first.
    """

    class CareClass(models.TextChoices):
        ROUTINE = "ROUTINE", "Routine care"
        SENSITIVE = "SENSITIVE", "Sensitive: named keepers, daily look"
        EXPERT = "EXPERT", "Only after agreement with the veterinarian"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    species = models.ForeignKey(Species, models.PROTECT, related_name="sheets")
    period = DateTimeRangeField()
    temperature_low_c = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    temperature_high_c = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    ph_low = models.DecimalField(max_digits=3, decimal_places=1, null=True)
    ph_high = models.DecimalField(max_digits=3, decimal_places=1, null=True)
    salinity_low_g_kg = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    salinity_high_g_kg = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    shortest_stay_days = models.PositiveSmallIntegerField(null=True)
    care_class = models.CharField(max_length=10, choices=CareClass, default=CareClass.ROUTINE)
    months_run = models.PositiveSmallIntegerField(null=True)
    stocking_order = models.PositiveSmallIntegerField(null=True)
    permit_needs = models.CharField(max_length=200, blank=True)
    stops = models.JSONField(default=list)
    note = models.CharField(max_length=400, blank=True)

    class Meta:
        constraints = [
            ExclusionConstraint(
                name="quarantine_sheet_one_at_a_time",
                expressions=[
                    ("species", RangeOperators.EQUAL),
                    ("period", RangeOperators.OVERLAPS),
                ],
            ),
            models.CheckConstraint(
                condition=(
                    (
                        Q(temperature_low_c=None)
                        | Q(temperature_high_c=None)
                        | Q(temperature_high_c__gte=models.F("temperature_low_c"))
                    )
                    & (Q(ph_low=None) | Q(ph_high=None) | Q(ph_high__gte=models.F("ph_low")))
                    & (
                        Q(salinity_low_g_kg=None)
                        | Q(salinity_high_g_kg=None)
                        | Q(salinity_high_g_kg__gte=models.F("salinity_low_g_kg"))
                    )
                ),
                name="quarantine_sheet_low_below_high",
            ),
        ]


class SupplierQuerySet(models.QuerySet["Supplier"]):
    def open_to(self, person: Person) -> Self:
        return self.filter(site__in=Site.objects.open_to(person))


class Supplier(models.Model):
    """Whom animals are bought from; ``name`` is the full name the register asks for."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="suppliers")
    name = models.CharField(max_length=160)
    address = models.CharField(max_length=300, blank=True)
    country = models.CharField(max_length=2, blank=True)
    approval_number = models.CharField(max_length=60, blank=True)
    opened_at = models.DateTimeField()
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = SupplierQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["site", "name"], name="quarantine_supplier_name"),
        ]

    def __str__(self) -> str:
        return self.name
