"""A fact is written once. A correction is a new fact that points at the old one."""

import uuid
from typing import Any, Self

from django.db import models

from facility.models.people import Person


class FactQuerySet(models.QuerySet[Any]):
    def current(self) -> Self:
        """What is now held true: neither corrected since nor withdrawn."""
        return self.filter(correction=None, withdrawn=False)


class Fact(models.Model):
    """Base of every append-only row; the database refuses to change or delete one.

    ``happened_at`` is when it was so; ``recorded_at`` when Penstock was told.
    ``corrects`` with ``reason`` replaces an earlier row, which stays; ``withdrawn`` takes
    an earlier row back without a new value.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    corrects = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="correction"
    )
    reason = models.CharField(max_length=300, blank=True)
    withdrawn = models.BooleanField(default=False)

    class Meta:
        abstract = True
        constraints = [
            models.CheckConstraint(
                condition=models.Q(corrects=None, reason="", withdrawn=False)
                | (models.Q(corrects__isnull=False) & ~models.Q(reason="")),
                name="%(app_label)s_%(class)s_correction_has_reason",
            )
        ]
