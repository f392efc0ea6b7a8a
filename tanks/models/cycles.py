"""A biofilter's way from dry to a certified feed."""

import uuid
from typing import Self

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import F, Q

from facility.models import Fact, FactQuerySet, Person, Site
from tanks.models.doses import Dose, Product
from tanks.models.policies import Policy
from tanks.models.readings import Reading
from tanks.models.vessels import Vessel


class CycleQuerySet(models.QuerySet["Cycle"]):
    def open_to(self, person: Person) -> Self:
        return self.filter(vessel__site__in=Site.objects.open_to(person))


class Cycle(models.Model):
    """Start-up of the biofilter in the water that holds ``vessel``.

    ``ended_at`` is set once, when the water is stocked or the start-up is given up.
    """

    class WaterKind(models.TextChoices):
        FRESH = "FRESH", "Fresh"
        BRACKISH = "BRACKISH", "Brackish"
        MARINE = "MARINE", "Marine"

    class Seed(models.TextChoices):
        CULTURE = "CULTURE", "Culture"
        MATURE_MEDIA = "MATURE_MEDIA", "Mature media"
        NONE = "NONE", "None"

    class Outcome(models.TextChoices):
        STOCKED = "STOCKED", "Stocked"
        GIVEN_UP = "GIVEN_UP", "Given up"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="cycles")
    policy = models.ForeignKey(Policy, models.PROTECT, related_name="+")
    water_kind = models.CharField(max_length=8, choices=WaterKind)
    seed = models.CharField(max_length=12, choices=Seed)
    seed_origin = models.CharField(max_length=200, blank=True)
    has_substrate = models.BooleanField()
    ammonia = models.ForeignKey(Product, models.PROTECT, related_name="+")
    declared_feed_g_per_day = models.DecimalField(max_digits=8, decimal_places=2)
    protein_share = models.DecimalField(max_digits=4, decimal_places=3)
    cycling_temperature_c = models.DecimalField(max_digits=4, decimal_places=1)
    cycling_salinity_g_kg = models.DecimalField(max_digits=4, decimal_places=1)
    stocking_temperature_c = models.DecimalField(max_digits=4, decimal_places=1)
    stocking_salinity_g_kg = models.DecimalField(max_digits=4, decimal_places=1)
    started_at = models.DateTimeField()
    started_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True, blank=True)
    outcome = models.CharField(max_length=8, choices=Outcome, blank=True)

    objects = CycleQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["vessel"], condition=Q(ended_at=None), name="tanks_one_open_cycle"
            ),
            models.CheckConstraint(
                condition=Q(ended_at=None, outcome="")
                | (Q(ended_at__isnull=False, ended_at__gte=F("started_at")) & ~Q(outcome="")),
                name="tanks_cycle_end_has_outcome",
            ),
            models.CheckConstraint(
                condition=Q(
                    declared_feed_g_per_day__gt=0, protein_share__gt=0, protein_share__lte=1
                ),
                name="tanks_cycle_declared_feed",
            ),
            models.CheckConstraint(
                condition=~Q(seed="MATURE_MEDIA", seed_origin=""),
                name="tanks_cycle_media_has_origin",
            ),
        ]

    def __str__(self) -> str:
        return f"of {self.vessel}"


class Ramp(Fact):
    """Planned steps from cycling to stocking values; ``steps`` as the rule computed them."""

    class Of(models.TextChoices):
        SALINITY = "SALINITY", "Salinity"
        TEMPERATURE = "TEMPERATURE", "Temperature"

    cycle = models.ForeignKey(Cycle, models.PROTECT, related_name="ramps")
    of = models.CharField(max_length=12, choices=Of)
    begin = models.DecimalField(max_digits=5, decimal_places=2)
    end = models.DecimalField(max_digits=5, decimal_places=2)
    starts_on = models.DateField()
    water_litres = models.DecimalField(max_digits=10, decimal_places=2)
    steps = models.JSONField()

    objects = FactQuerySet.as_manager()


class Challenge(Fact):
    """The declared load, put in as one dose, to be cleared within the policy's hours."""

    cycle = models.ForeignKey(Cycle, models.PROTECT, related_name="challenges")
    dose = models.OneToOneField(Dose, models.PROTECT, related_name="challenge")
    target_mg_l_n = models.DecimalField(max_digits=6, decimal_places=3)

    objects = FactQuerySet.as_manager()


class Verdict(Fact):
    """What a person read at the end of a challenge, and what the rule made of it then."""

    challenge = models.ForeignKey(Challenge, models.PROTECT, related_name="verdicts")
    start = models.ForeignKey(Reading, models.PROTECT, related_name="+")
    tan = models.ForeignKey(Reading, models.PROTECT, related_name="+")
    nitrite = models.ForeignKey(Reading, models.PROTECT, related_name="+")
    passed = models.BooleanField()
    findings = models.JSONField()

    objects = FactQuerySet.as_manager()


class Certificate(Fact):
    """A second person's signature under a feed rate that consecutive passes have proven.

    It is voided by events, never by hand; whether it is in force is a rule, not a column.
    """

    cycle = models.ForeignKey(Cycle, models.PROTECT, related_name="certificates")
    pass_ids = ArrayField(models.UUIDField())
    load_mg_l_n = models.DecimalField(max_digits=6, decimal_places=3)
    water_litres = models.DecimalField(max_digits=10, decimal_places=2)
    members = models.JSONField()
    protein_share = models.DecimalField(max_digits=4, decimal_places=3)
    feed_g_per_day = models.DecimalField(max_digits=8, decimal_places=2)
    meaning = models.CharField(max_length=200)

    objects = FactQuerySet.as_manager()
