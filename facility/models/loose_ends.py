"""States that must not last, and what one shift tells the next."""

from django.db import models
from django.db.models import Q

from facility.models.facts import Fact, FactQuerySet
from facility.models.people import Person
from facility.models.places import Area, Site


class LooseEnd(Fact):
    """Something temporary with an owner and a time to be put right.

    Valves and devices have loans of their own in tanks; this is everything else.
    """

    class Kind(models.TextChoices):
        HOSE = "HOSE", "Hose or fill running"
        HOLD = "HOLD", "On hold"
        PREPARED_WATER = "PREPARED_WATER", "Prepared water"
        CONTACT_TIME = "CONTACT_TIME", "Disinfectant in contact"
        OTHER = "OTHER", "Other"

    site = models.ForeignKey(Site, models.PROTECT, related_name="loose_ends")
    area = models.ForeignKey(Area, models.PROTECT, related_name="+", null=True, blank=True)
    kind = models.CharField(max_length=14, choices=Kind)
    about = models.CharField(max_length=120)
    what = models.CharField(max_length=160)
    why = models.CharField(max_length=200)
    owner = models.ForeignKey(Person, models.PROTECT, related_name="+")
    due_back_at = models.DateTimeField()

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(due_back_at__gt=models.F("happened_at")),
                name="facility_looseend_is_a_loan",
            ),
        ]
        indexes = [models.Index(fields=["site", "due_back_at"], name="facility_looseend_due")]


class LooseEndReturn(Fact):
    """A loose end was put right."""

    loose_end = models.OneToOneField(LooseEnd, models.PROTECT, related_name="returned")
    note = models.CharField(max_length=200, blank=True)

    objects = FactQuerySet.as_manager()


class HandOver(Fact):
    """What one shift writes for the next."""

    site = models.ForeignKey(Site, models.PROTECT, related_name="hand_overs")
    text = models.TextField(max_length=4000)

    objects = FactQuerySet.as_manager()
