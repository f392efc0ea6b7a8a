"""How long animals wait, what sets their clock back, and how they leave: released, moved."""

import uuid

from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import DateTimeRangeField, RangeOperators
from django.db import models
from django.db.models import Q

from facility.models import Fact, FactQuerySet, Site
from quarantine.models.entries import Admission, Stocking
from quarantine.models.lots import CountChange, Lot
from quarantine.models.species import Species
from tanks.models import Vessel
from tanks.models.policies import Sourced


class StayRule(Sourced):
    """The fewest days for one purpose, for as long as ``period`` says.

    An empty ``group`` or ``water_kind`` is any; ``days`` run from the last entry into the water.
    """

    class Purpose(models.TextChoices):
        QUARANTINE = "QUARANTINE", "Quarantine"
        IMPORT = "IMPORT", "Quarantine of animals from abroad"
        SALE = "SALE", "Rest before sale"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="stay_rules")
    period = DateTimeRangeField()
    purpose = models.CharField(max_length=10, choices=Purpose)
    group = models.CharField(max_length=20, choices=Species.Group, blank=True)
    water_kind = models.CharField(max_length=8, blank=True)
    days = models.PositiveSmallIntegerField()
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(days__gt=0), name="quarantine_stayrule_days"),
            ExclusionConstraint(
                name="quarantine_stayrule_one_at_a_time",
                expressions=[
                    ("site", RangeOperators.EQUAL),
                    ("purpose", RangeOperators.EQUAL),
                    ("group", RangeOperators.EQUAL),
                    ("water_kind", RangeOperators.EQUAL),
                    ("jurisdiction", RangeOperators.EQUAL),
                    ("period", RangeOperators.OVERLAPS),
                ],
            ),
        ]


class StayPolicy(Sourced):
    """What events do to the clock of a stay, and what a release asks besides days.

    ``quiet_days`` without a death; ``clear_days`` since a course was cleared; ``feeding_looks``
    looks in a row that saw them feed; ``look_hours`` before its end a look may be the final one.
    Feed in a newly stocked water begins at ``first_feed_percent`` of the certified feed and
    rises after ``clean_days`` below the action levels.
    """

    class Effect(models.TextChoices):
        COUNT = "COUNT", "days count"
        PAUSE = "PAUSE", "days do not count"
        RESET = "RESET", "the count begins anew"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="stay_policies")
    period = DateTimeRangeField()
    on_treatment = models.CharField(max_length=5, choices=Effect)
    on_death = models.CharField(max_length=5, choices=Effect)
    on_pathogen = models.CharField(max_length=5, choices=Effect)
    quiet_days = models.PositiveSmallIntegerField()
    clear_days = models.PositiveSmallIntegerField()
    feeding_looks = models.PositiveSmallIntegerField()
    look_hours = models.PositiveSmallIntegerField()
    first_feed_percent = models.PositiveSmallIntegerField()
    clean_days = models.PositiveSmallIntegerField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(
                    first_feed_percent__gt=0, first_feed_percent__lte=100, look_hours__gt=0
                ),
                name="quarantine_staypolicy_figures",
            ),
            ExclusionConstraint(
                name="quarantine_staypolicy_one_at_a_time",
                expressions=[
                    ("site", RangeOperators.EQUAL),
                    ("period", RangeOperators.OVERLAPS),
                ],
            ),
        ]


class LifeCycle(Sourced):
    """How many days a parasite's life cycle takes at which temperature.

    ``points`` are ``{"temperature_c", "days"}`` from cold to warm, the slowest published;
    ``cycles`` of them must pass with no sign of it.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="life_cycles")
    period = DateTimeRangeField()
    agent = models.CharField(max_length=120)
    water_kind = models.CharField(max_length=8)
    points = models.JSONField()
    cycles = models.PositiveSmallIntegerField()
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(cycles__gt=0), name="quarantine_lifecycle_cycles"),
            ExclusionConstraint(
                name="quarantine_lifecycle_one_at_a_time",
                expressions=[
                    ("site", RangeOperators.EQUAL),
                    ("agent", RangeOperators.EQUAL),
                    ("water_kind", RangeOperators.EQUAL),
                    ("period", RangeOperators.OVERLAPS),
                ],
            ),
        ]


class Release(Fact):
    """A signature that ``count`` of a lot may leave ``vessel`` for ``destination``.

    ``requirements`` says by what each was met. ``feed_g_per_day`` is what they will be fed
    there. With ``admission`` they are the first animals of the destination's water.
    """

    lot = models.ForeignKey(Lot, models.PROTECT, related_name="releases")
    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="releases")
    destination = models.ForeignKey(Vessel, models.PROTECT, related_name="releases_into")
    count = models.PositiveIntegerField()
    feed_g_per_day = models.DecimalField(max_digits=8, decimal_places=2)
    requirements = models.JSONField()
    meaning = models.CharField(max_length=200)
    admission = models.OneToOneField(
        Admission, models.PROTECT, related_name="release", null=True, blank=True
    )

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(count__gt=0, feed_g_per_day__gte=0), name="quarantine_release_figures"
            ),
        ]
        indexes = [models.Index(fields=["lot", "-happened_at"], name="quarantine_release_latest")]


class Move(Fact):
    """How animals went from one vessel to another; the book has how many."""

    class Method(models.TextChoices):
        NET = "NET", "By net"
        VESSEL = "VESSEL", "In a bowl or bag, then netted"
        WATER = "WATER", "With their water"

    change = models.OneToOneField(CountChange, models.PROTECT, related_name="move")
    release = models.ForeignKey(
        Release, models.PROTECT, related_name="moves", null=True, blank=True
    )
    stocking = models.OneToOneField(
        Stocking, models.PROTECT, related_name="move", null=True, blank=True
    )
    method = models.CharField(max_length=6, choices=Method)
    water_litres = models.DecimalField(max_digits=8, decimal_places=2)
    acclimation = models.CharField(max_length=200, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(water_litres__gte=0), name="quarantine_move_water"),
        ]


class PlannedEntry(Fact):
    """``count`` of a lot, or of a species not here yet, are to enter a water on a day."""

    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="planned_entries")
    lot = models.ForeignKey(
        Lot, models.PROTECT, related_name="planned_entries", null=True, blank=True
    )
    species = models.ForeignKey(Species, models.PROTECT, related_name="planned_entries")
    count = models.PositiveIntegerField()
    planned_on = models.DateField()
    feed_g_per_day = models.DecimalField(max_digits=8, decimal_places=2)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(count__gt=0, feed_g_per_day__gte=0),
                name="quarantine_plannedentry_figures",
            ),
        ]
