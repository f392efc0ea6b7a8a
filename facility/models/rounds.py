"""Who is on, who can do what, and in which order a person goes."""

import uuid

from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import DateTimeRangeField, RangeOperators
from django.db import models
from django.db.models import Q

from facility.models.facts import Fact, FactQuerySet
from facility.models.people import Person
from facility.models.places import Site


class Shift(models.Model):
    """A person is on during ``period``; ``is_on_call`` answers the phone, and may be at home."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="shifts")
    person = models.ForeignKey(Person, models.PROTECT, related_name="shifts")
    period = DateTimeRangeField()
    is_on_call = models.BooleanField(default=False)
    is_stand_in = models.BooleanField(default=False)
    cancelled_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            ExclusionConstraint(
                name="facility_shift_one_at_a_time",
                expressions=[
                    ("person", RangeOperators.EQUAL),
                    ("is_on_call", RangeOperators.EQUAL),
                    ("period", RangeOperators.OVERLAPS),
                ],
                condition=Q(cancelled_at=None),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person} at {self.site}"


class Skill(models.Model):
    """A person may do work that asks for ``name`` at this site."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="skills")
    person = models.ForeignKey(Person, models.PROTECT, related_name="skills")
    name = models.CharField(max_length=40)
    since = models.DateTimeField()
    until = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["site", "person", "name"],
                condition=Q(until=None),
                name="facility_skill_once",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Round(models.Model):
    """A person's ordered list for one day, as drawn up; the latest of a day is in force.

    ``stops`` is ``[{"task": "<id>", "is_fixed": true}, …]`` in walking order.
    """

    id = models.UUIDField(primary_key=True, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="rounds")
    person = models.ForeignKey(Person, models.PROTECT, related_name="rounds")
    on = models.DateField()
    stops = models.JSONField()
    drawn_up_at = models.DateTimeField()
    drawn_up_by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        indexes = [
            models.Index(fields=["site", "on", "-drawn_up_at"], name="facility_round_latest"),
        ]

    def __str__(self) -> str:
        return f"{self.person} on {self.on}"


class Calendar(models.Model):
    """An address at which a calendar program reads a person's rounds without signing in.

    Only a hash of the unguessable part is kept; closed, the address leads nowhere for good.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="calendars")
    person = models.ForeignKey(Person, models.PROTECT, related_name="calendars")
    token_sha256 = models.CharField(max_length=64, unique=True)
    opened_at = models.DateTimeField()
    closed_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"Rounds of {self.person}"


class HygieneBreak(Fact):
    """Between dirty and clean: kit changed and hands disinfected, said once, by the person."""

    site = models.ForeignKey(Site, models.PROTECT, related_name="+")
    from_rank = models.PositiveSmallIntegerField()
    to_rank = models.PositiveSmallIntegerField()
    kit_changed = models.BooleanField()
    hands_disinfected = models.BooleanField()

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(from_rank__gt=models.F("to_rank")), name="facility_break_goes_cleaner"
            ),
        ]
