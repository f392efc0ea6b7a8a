"""How long a site waits before it calls the next person, and how often it calls."""

from django.db import models
from django.db.models import Q

from facility.models.facts import Fact, FactQuerySet
from facility.models.places import Site


class CallPolicy(Fact):
    """The site's times for calling people about alerts, whole; the latest holds.

    Minutes, hours and counts as ``facility.rules.calling`` names them; ``source`` says where
    they come from.
    """

    site = models.ForeignKey(Site, models.PROTECT, related_name="call_policies")
    answer_within_min = models.PositiveSmallIntegerField()
    remind_every_min = models.PositiveSmallIntegerField()
    calls_at_most = models.PositiveSmallIntegerField()
    usual_shift_h = models.PositiveSmallIntegerField()
    most_in_a_shift = models.PositiveSmallIntegerField()
    source = models.CharField(max_length=200)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(
                    answer_within_min__gt=0,
                    remind_every_min__gt=0,
                    calls_at_most__gt=0,
                    usual_shift_h__gt=0,
                    most_in_a_shift__gt=0,
                ),
                name="facility_callpolicy_calls",
            ),
        ]
        indexes = [models.Index(fields=["site", "-happened_at"], name="facility_callpolicy_latest")]
