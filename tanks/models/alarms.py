"""When a water calls somebody, valves on loan, and what is done about a reading out of range."""

import uuid

from django.contrib.postgres.fields import DateTimeRangeField
from django.db import models
from django.db.models import Q

from facility.models import Fact, FactQuerySet, Person, Site
from tanks.models.policies import Sourced
from tanks.models.readings import Reading
from tanks.models.vessels import Connection


class AlarmRule(Sourced):
    """One rule of thumb as data: what it looks at, and the figures it judges by.

    ``looks_for`` names the judgement (level, change, together, missing, identical, disagreement,
    ...); ``figures`` are its limit, dead band, persistence and so on, by name, in canonical units.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="alarm_rules")
    code = models.CharField(max_length=60)
    title = models.CharField(max_length=160)
    looks_for = models.CharField(max_length=20)
    parameter = models.CharField(max_length=20, blank=True)
    water_kind = models.CharField(max_length=8, blank=True)
    stage = models.CharField(max_length=8, blank=True)
    level = models.PositiveSmallIntegerField()
    figures = models.JSONField()
    advice = models.CharField(max_length=300)
    period = DateTimeRangeField()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(level__in=[1, 2, 3]), name="tanks_alarmrule_level"),
        ]

    def __str__(self) -> str:
        return self.title


class ValveLoan(Fact):
    """A valve was closed for a while: until when, why, and who opens it again."""

    connection = models.ForeignKey(Connection, models.PROTECT, related_name="loans")
    why = models.CharField(max_length=200)
    due_back_at = models.DateTimeField()
    owner = models.ForeignKey(Person, models.PROTECT, related_name="+")

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(due_back_at__gt=models.F("happened_at")),
                name="tanks_valveloan_is_a_loan",
            ),
        ]


class CorrectiveAction(Fact):
    """What was done about a reading out of range; it stays open until a retest passes."""

    reading = models.ForeignKey(Reading, models.PROTECT, related_name="actions")
    action = models.CharField(max_length=40)
    note = models.CharField(max_length=300, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=~Q(action=""), name="tanks_correctiveaction_is_said"),
        ]
