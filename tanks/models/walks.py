"""Walks past the tanks of an area: which were seen, and what was not well."""

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import Q

from facility.models import Area, Fact, FactQuerySet
from tanks.models.vessels import Vessel


class Walk(Fact):
    """All tanks in ``seen`` were looked at; those without a sign were well."""

    area = models.ForeignKey(Area, models.PROTECT, related_name="walks")
    seen = ArrayField(models.UUIDField())

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(seen__len__gt=0), name="tanks_walk_saw_something"),
        ]
        indexes = [models.Index(fields=["area", "-happened_at"], name="tanks_walk_latest")]


class WalkSign(Fact):
    """What was seen of one tank on a walk."""

    class Sign(models.TextChoices):
        GASPING = "GASPING", "Breathing fast or gasping"
        NOT_EATING = "NOT_EATING", "Not eating"
        CLAMPED = "CLAMPED", "Fins clamped, hanging or hiding"
        RUBBING = "RUBBING", "Rubbing or flashing"
        SPOTS = "SPOTS", "Spots, film or fluff"
        WOUND = "WOUND", "Wound or torn fins"
        BALANCE = "BALANCE", "Swollen or off balance"
        DEAD = "DEAD", "Dead"
        MISSING = "MISSING", "Missing"
        CLOUDY = "CLOUDY", "Water cloudy or smelling"
        FLOW = "FLOW", "Flow or air weak or stopped"
        LEVEL = "LEVEL", "Level low, leak or overflow"
        HEAT = "HEAT", "Too warm or too cold"
        OTHER = "OTHER", "Something else"

    walk = models.ForeignKey(Walk, models.PROTECT, related_name="signs")
    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="signs")
    sign = models.CharField(max_length=10, choices=Sign)
    note = models.CharField(max_length=200, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(
                    sign__in=[
                        "GASPING",
                        "NOT_EATING",
                        "CLAMPED",
                        "RUBBING",
                        "SPOTS",
                        "WOUND",
                        "BALANCE",
                        "DEAD",
                        "MISSING",
                        "CLOUDY",
                        "FLOW",
                        "LEVEL",
                        "HEAT",
                        "OTHER",
                    ]
                ),
                name="tanks_walk_sign",
            ),
        ]
        indexes = [models.Index(fields=["vessel", "-happened_at"], name="tanks_walk_sign_latest")]
