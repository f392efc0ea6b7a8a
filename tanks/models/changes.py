"""What was done to a water besides dosing it."""

from django.db import models
from django.db.models import Q

from facility.models import Fact, FactQuerySet
from tanks.models.doses import Product
from tanks.models.vessels import Vessel


class WaterChange(Fact):
    """``litres`` replaced by source water; what the source carried, where it was measured."""

    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="water_changes")
    litres = models.DecimalField(max_digits=10, decimal_places=2)
    water_litres = models.DecimalField(max_digits=10, decimal_places=2)
    source = models.CharField(max_length=80, blank=True)
    source_tan_mg_l_n = models.DecimalField(max_digits=8, decimal_places=3, null=True, blank=True)
    source_nitrate_mg_l_n = models.DecimalField(
        max_digits=8, decimal_places=3, null=True, blank=True
    )
    source_alkalinity_meq_l = models.DecimalField(
        max_digits=8, decimal_places=3, null=True, blank=True
    )
    source_salinity_g_kg = models.DecimalField(
        max_digits=8, decimal_places=3, null=True, blank=True
    )

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(litres__gt=0, litres__lte=models.F("water_litres")),
                name="tanks_water_change_litres",
            ),
        ]


class Feeding(Fact):
    """Feed given, by weight as fed, with its share of protein by mass."""

    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="feedings")
    grams = models.DecimalField(max_digits=8, decimal_places=2)
    protein_share = models.DecimalField(max_digits=4, decimal_places=3)
    water_litres = models.DecimalField(max_digits=10, decimal_places=2)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(grams__gt=0, protein_share__gt=0, protein_share__lte=1),
                name="tanks_feeding_amount",
            ),
        ]


class Seeding(Fact):
    """Nitrifiers brought in: a culture, or mature media whose origin is named."""

    class Kind(models.TextChoices):
        CULTURE = "CULTURE", "Culture"
        MATURE_MEDIA = "MATURE_MEDIA", "Mature media"

    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="seedings")
    kind = models.CharField(max_length=12, choices=Kind)
    product = models.ForeignKey(Product, models.PROTECT, null=True, blank=True, related_name="+")
    origin = models.CharField(max_length=200)
    quantity = models.CharField(max_length=80)

    objects = FactQuerySet.as_manager()


class Incident(Fact):
    """Something befell the water or its filter; most kinds void a certificate."""

    class Kind(models.TextChoices):
        DISINFECTANT = "DISINFECTANT", "Disinfectant, antibiotic or copper reached the filter"
        POWER_LOSS = "POWER_LOSS", "Power or flow lost"
        MEDIA_DRIED = "MEDIA_DRIED", "Filter media dried out"
        MEDIA_REPLACED = "MEDIA_REPLACED", "Filter media replaced"
        OTHER = "OTHER", "Other"

    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="incidents")
    kind = models.CharField(max_length=16, choices=Kind)
    lasted_h = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    note = models.CharField(max_length=300)

    objects = FactQuerySet.as_manager()
