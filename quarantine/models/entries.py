from django.db import models

from facility.models import Fact, FactQuerySet
from tanks.models import Cycle, Vessel


class Admission(Fact):
    """A person opened the gate: every requirement was met, and ``requirements`` says by what."""

    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="admissions")
    cycle = models.ForeignKey(Cycle, models.PROTECT, related_name="admissions")
    requirements = models.JSONField()
    meaning = models.CharField(max_length=200)

    objects = FactQuerySet.as_manager()


class Stocking(Fact):
    """The first animals entered the water under an admission."""

    admission = models.ForeignKey(Admission, models.PROTECT, related_name="stockings")
    count = models.PositiveIntegerField()
    what = models.CharField(max_length=200)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=models.Q(count__gt=0), name="quarantine_stocking_count"
            ),
        ]
