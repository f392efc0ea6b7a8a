"""When deaths and refused feed call somebody: rules of thumb and published thresholds as data."""

import uuid

from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import DateTimeRangeField, RangeOperators
from django.db import models
from django.db.models import Q

from facility.models import Site
from tanks.models.policies import Sourced


class HealthRule(Sourced):
    """One rule, for as long as ``period`` says; ``is_on`` tells whether the site selected it.

    ``looks_for`` names the judgement and ``figures`` what it judges by. ``level`` holds where
    animals are in quarantine, ``level_elsewhere`` where they are not.
    """

    class LooksFor(models.TextChoices):
        EXCESS = "EXCESS", "More deaths than the baseline explains"
        SHARE = "SHARE", "A share lost within some days"
        UNEXPLAINED = "UNEXPLAINED", "Deaths nobody can explain"
        DOUBLING = "DOUBLING", "Deaths doubling day on day"
        AFTER = "AFTER", "A death soon after a dose, a water change or an arrival"
        REFUSED = "REFUSED", "Feed refused meal after meal"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="health_rules")
    code = models.CharField(max_length=40)
    title = models.CharField(max_length=160)
    looks_for = models.CharField(max_length=12, choices=LooksFor)
    level = models.PositiveSmallIntegerField()
    level_elsewhere = models.PositiveSmallIntegerField()
    figures = models.JSONField()
    advice = models.CharField(max_length=300)
    is_on = models.BooleanField()
    period = DateTimeRangeField()

    class Meta:
        constraints = [
            ExclusionConstraint(
                name="quarantine_healthrule_one_at_a_time",
                expressions=[
                    ("site", RangeOperators.EQUAL),
                    ("code", RangeOperators.EQUAL),
                    ("period", RangeOperators.OVERLAPS),
                ],
            ),
            models.CheckConstraint(
                condition=Q(level__in=[1, 2, 3], level_elsewhere__in=[1, 2, 3]),
                name="quarantine_healthrule_level",
            ),
        ]

    def __str__(self) -> str:
        return self.title
