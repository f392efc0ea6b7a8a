import uuid

from django.db import models
from django.db.models import Q

from facility.models import Fact, FactQuerySet, Site
from tanks.models.vessels import Vessel


class Product(models.Model):
    """One container on the shelf: what is in it, in which form, how strong.

    ``strength`` of a solid is its purity from 0 to 1; of a solution, grams of ``substance``
    per litre. Another batch is another product.
    """

    class Substance(models.TextChoices):
        AMMONIUM_CHLORIDE = "AMMONIUM_CHLORIDE", "Ammonium chloride NH₄Cl"
        SODIUM_BICARBONATE = "SODIUM_BICARBONATE", "Sodium bicarbonate NaHCO₃"
        SODIUM_CARBONATE = "SODIUM_CARBONATE", "Sodium carbonate Na₂CO₃, anhydrous"
        SODIUM_THIOSULFATE = "SODIUM_THIOSULFATE", "Sodium thiosulfate Na₂S₂O₃·5H₂O"
        SEA_SALT = "SEA_SALT", "Sea salt mix"
        CULTURE = "CULTURE", "Nitrifier culture"

    class Form(models.TextChoices):
        SOLID = "SOLID", "Solid"
        SOLUTION = "SOLUTION", "Solution"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="products")
    name = models.CharField(max_length=80)
    substance = models.CharField(max_length=24, choices=Substance)
    form = models.CharField(max_length=8, choices=Form)
    strength = models.DecimalField(max_digits=8, decimal_places=4)
    batch = models.CharField(max_length=40, blank=True)
    expires_on = models.DateField(null=True, blank=True)
    opened_at = models.DateTimeField()
    retired_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["site", "name", "batch"], name="tanks_product_name"),
            models.CheckConstraint(
                condition=Q(form="SOLID", strength__gt=0, strength__lte=1)
                | Q(form="SOLUTION", strength__gt=0, strength__lte=700),
                name="tanks_product_strength",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Dose(Fact):
    """A product put into a water.

    ``computed_amount`` follows from ``target`` and the net volume of the water at that moment,
    kept in ``water_litres``; ``amount`` is what was really measured out, both in ``unit``
    (g for a solid, mL for a solution).
    """

    class Purpose(models.TextChoices):
        AMMONIA = "AMMONIA", "Feed the biofilter"
        CHALLENGE = "CHALLENGE", "Challenge"
        ALKALINITY = "ALKALINITY", "Raise alkalinity"
        DECHLORINATE = "DECHLORINATE", "Remove chlorine"
        SALINITY = "SALINITY", "Raise salinity"

    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="doses")
    product = models.ForeignKey(Product, models.PROTECT, related_name="doses")
    purpose = models.CharField(max_length=12, choices=Purpose)
    target = models.DecimalField(max_digits=10, decimal_places=4)
    target_unit = models.CharField(max_length=20)
    computed_amount = models.DecimalField(max_digits=12, decimal_places=3)
    amount = models.DecimalField(max_digits=12, decimal_places=3)
    unit = models.CharField(max_length=4)
    water_litres = models.DecimalField(max_digits=10, decimal_places=2)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(amount__gt=0, water_litres__gt=0), name="tanks_dose_amount"
            ),
            models.CheckConstraint(condition=Q(unit__in=["g", "mL"]), name="tanks_dose_unit"),
        ]
        indexes = [models.Index(fields=["vessel", "-happened_at"], name="tanks_dose_latest")]
