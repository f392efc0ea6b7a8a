import uuid
from decimal import Decimal

from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import DateTimeRangeField, RangeOperators
from django.db import models

from facility.models import Site


class Sourced(models.Model):
    """Every figure says where it comes from, and whether a person has verified it there."""

    source = models.CharField(max_length=200)
    edition = models.CharField(max_length=80, blank=True)
    jurisdiction = models.CharField(max_length=60, blank=True)
    verified_on = models.DateField(null=True, blank=True)
    verified_by = models.CharField(max_length=120, blank=True)

    class Meta:
        abstract = True

    @property
    def is_verified(self) -> bool:
        return self.verified_on is not None


class Policy(Sourced):
    """How a site starts and proves biofilters, for as long as ``period`` says."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="policies")
    period = DateTimeRangeField()
    temperature_low_c = models.DecimalField(max_digits=4, decimal_places=1)
    temperature_high_c = models.DecimalField(max_digits=4, decimal_places=1)
    marine_salinity_low_g_kg = models.DecimalField(max_digits=4, decimal_places=1)
    marine_salinity_high_g_kg = models.DecimalField(max_digits=4, decimal_places=1)
    tan_cap_mg_l_n = models.DecimalField(max_digits=5, decimal_places=2)
    dose_mg_l_n = models.DecimalField(max_digits=5, decimal_places=2)
    redose_tan_mg_l_n = models.DecimalField(max_digits=5, decimal_places=2)
    redose_nitrite_mg_l_n = models.DecimalField(max_digits=5, decimal_places=2)
    alkalinity_low_meq_l = models.DecimalField(max_digits=5, decimal_places=2)
    oxygen_low_percent = models.DecimalField(max_digits=4, decimal_places=1)
    challenge_mg_l_n = models.DecimalField(max_digits=5, decimal_places=2)
    challenge_hours = models.DecimalField(max_digits=4, decimal_places=1)
    challenge_limit_mg_l_n = models.DecimalField(max_digits=5, decimal_places=3)
    passes_needed = models.PositiveSmallIntegerField()
    unfed_days = models.DecimalField(max_digits=4, decimal_places=1)
    power_loss_hours = models.DecimalField(max_digits=4, decimal_places=1)
    ph_floor = models.DecimalField(max_digits=3, decimal_places=1)
    reading_fresh_hours = models.DecimalField(max_digits=5, decimal_places=1)
    tested_share_percent = models.DecimalField(max_digits=4, decimal_places=1, default=Decimal(10))

    class Meta:
        constraints = [
            ExclusionConstraint(
                name="tanks_policy_one_at_a_time",
                expressions=[
                    ("site", RangeOperators.EQUAL),
                    ("period", RangeOperators.OVERLAPS),
                ],
            ),
        ]


class Limit(Sourced):
    """The range a parameter should keep to, for one kind of water and one stage.

    ``low`` and ``high`` are in ``unit`` on ``basis``; ``level`` 1 acts now, 2 today.
    """

    class Stage(models.TextChoices):
        CYCLING = "CYCLING", "Biofilter start-up"
        STOCKED = "STOCKED", "With animals"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="limits")
    parameter = models.CharField(max_length=20)
    water_kind = models.CharField(max_length=8)
    stage = models.CharField(max_length=8, choices=Stage)
    low = models.DecimalField(max_digits=10, decimal_places=4, null=True, blank=True)
    high = models.DecimalField(max_digits=10, decimal_places=4, null=True, blank=True)
    unit = models.CharField(max_length=20)
    basis = models.CharField(max_length=20, blank=True)
    level = models.PositiveSmallIntegerField()
    advice = models.CharField(max_length=200)
    period = DateTimeRangeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~models.Q(low=None, high=None), name="tanks_limit_has_an_edge"
            ),
            models.CheckConstraint(
                condition=models.Q(level__in=[1, 2, 3]), name="tanks_limit_level"
            ),
        ]
