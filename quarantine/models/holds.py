"""What may not leave, be sold or be joined until somebody lifts it."""

from django.db import models
from django.db.models import Q

from facility.models import Fact, FactQuerySet
from quarantine.models.lots import Lot
from tanks.models import Vessel


class Hold(Fact):
    """A lot, or all that shares water with ``vessel``, stays where it is."""

    class Kind(models.TextChoices):
        DISEASE = "DISEASE", "Disease suspected or found"
        TREATMENT = "TREATMENT", "Under treatment"
        WATER = "WATER", "Water out of range"
        PAPERS = "PAPERS", "Papers missing"
        TRACE = "TRACE", "Reached by a trace"
        OTHER = "OTHER", "Other"

    lot = models.ForeignKey(Lot, models.PROTECT, related_name="holds", null=True, blank=True)
    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="holds", null=True, blank=True)
    kind = models.CharField(max_length=10, choices=Kind)
    why = models.CharField(max_length=300)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(lot=None, vessel__isnull=False) | Q(lot__isnull=False, vessel=None),
                name="quarantine_hold_one_subject",
            ),
            models.CheckConstraint(condition=~Q(why=""), name="quarantine_hold_says_why"),
        ]


class HoldLift(Fact):
    """Somebody who may lifted a hold, and said why it could be."""

    hold = models.OneToOneField(Hold, models.PROTECT, related_name="lift")
    why = models.CharField(max_length=300)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=~Q(why=""), name="quarantine_holdlift_says_why"),
        ]
