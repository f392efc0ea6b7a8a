"""A tank emptied and disinfected, step by step, before it is filled for others."""

from django.db import models
from django.db.models import Q

from facility.models import Fact, FactQuerySet
from tanks.models import Incident, Reading, Vessel


class TankReset(Fact):
    """``vessel`` stands empty of animals and dirty; its filter is unproven from here on.

    ``chlorine_mg_l`` is the strength of the bath as Cl2, ``contact_minutes`` how long it must
    stand; ``incident`` is what tells the filter's certificate.
    """

    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="resets")
    why = models.CharField(max_length=200)
    litres = models.DecimalField(max_digits=10, decimal_places=2, null=True, blank=True)
    chlorine_mg_l = models.DecimalField(max_digits=7, decimal_places=1)
    contact_minutes = models.PositiveIntegerField()
    incident = models.OneToOneField(Incident, models.PROTECT, related_name="reset")

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(chlorine_mg_l__gt=0, contact_minutes__gt=0),
                name="quarantine_tankreset_bath",
            ),
            models.CheckConstraint(condition=~Q(why=""), name="quarantine_tankreset_says_why"),
        ]


class ResetStep(Fact):
    """One step was done; ``reading`` proves that no chlorine is left, where it is that step."""

    class Step(models.TextChoices):
        CLEANED = "CLEANED", "Cleaned"
        IN_CONTACT = "IN_CONTACT", "Disinfectant in contact"
        RINSED = "RINSED", "Neutralised and rinsed"
        CHLORINE_ZERO = "CHLORINE_ZERO", "No chlorine read"
        DRIED = "DRIED", "Dried"
        READY = "READY", "Ready to fill"
        GIVEN_UP = "GIVEN_UP", "Given up"

    reset = models.ForeignKey(TankReset, models.PROTECT, related_name="steps")
    step = models.CharField(max_length=14, choices=Step)
    reading = models.ForeignKey(Reading, models.PROTECT, related_name="+", null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["reset", "step"],
                condition=Q(corrects=None),
                name="quarantine_resetstep_once",
            ),
            models.CheckConstraint(
                condition=Q(step="CHLORINE_ZERO", reading__isnull=False)
                | (~Q(step="CHLORINE_ZERO") & Q(reading=None)),
                name="quarantine_resetstep_read",
            ),
        ]
