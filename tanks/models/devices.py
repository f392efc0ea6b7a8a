import uuid

from django.db import models
from django.db.models import Q

from facility.models import Fact, FactQuerySet, Person
from tanks.models.vessels import Vessel


class Device(models.Model):
    """A piece of life support on a vessel. It runs unless its latest switch says otherwise."""

    class Kind(models.TextChoices):
        UV = "UV", "Ultraviolet steriliser"
        OZONE = "OZONE", "Ozone"
        SKIMMER = "SKIMMER", "Protein skimmer"
        MECHANICAL = "MECHANICAL", "Mechanical filter"
        CARBON = "CARBON", "Activated carbon"
        HEATER = "HEATER", "Heater"
        BIOFILTER = "BIOFILTER", "Biofilter"
        PUMP = "PUMP", "Pump"
        AIR = "AIR", "Air supply"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="devices")
    kind = models.CharField(max_length=12, choices=Kind)
    name = models.CharField(max_length=80)
    biofilter_area_m2 = models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True)
    installed_at = models.DateTimeField()
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(biofilter_area_m2=None) | Q(kind="BIOFILTER", biofilter_area_m2__gt=0),
                name="tanks_device_area_of_biofilter",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Switch(Fact):
    """A device was turned off, as a timed loan with an owner, or on again."""

    device = models.ForeignKey(Device, models.PROTECT, related_name="switches")
    is_on = models.BooleanField()
    why = models.CharField(max_length=200)
    due_back_at = models.DateTimeField(null=True, blank=True)
    owner = models.ForeignKey(Person, models.PROTECT, related_name="+")

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(is_on=True, due_back_at=None)
                | Q(
                    is_on=False,
                    due_back_at__isnull=False,
                    due_back_at__gt=models.F("happened_at"),
                ),
                name="tanks_switch_off_is_a_loan",
            ),
        ]
        indexes = [models.Index(fields=["device", "-happened_at"], name="tanks_switch_latest")]
