"""What animals are treated with: the figures each agent is used by, and the containers of it."""

import uuid
from typing import Self

from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import DateTimeRangeField, RangeOperators
from django.db import models
from django.db.models import F, Q

from facility.models import Fact, FactQuerySet, Person, Site
from tanks.models.policies import Sourced


class AgentQuerySet(models.QuerySet["Agent"]):
    def open_to(self, person: Person) -> Self:
        return self.filter(site__in=Site.objects.open_to(person))


class Agent(Sourced):
    """How a site uses an agent, for as long as ``period`` says; an empty figure is not known.

    ``low`` to ``high`` is the window in ``unit``, counted as ``counted_as`` and never as anything
    else. The clock runs ``clock_days`` from the last of ``readings_in_row`` readings inside it; a
    gap between readings longer than ``longest_gap_h`` does not count. ``forms`` are the codes
    of what may stand on a label. ``devices_off`` are kinds of device that take the agent out;
    ``cards`` the cautions shown.
    """

    class OutOfWindow(models.TextChoices):
        PAUSE = "PAUSE", "The clock stands still"
        RESET = "RESET", "The clock starts anew"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="agents")
    code = models.CharField(max_length=24)
    name = models.CharField(max_length=80)
    counted_as = models.CharField(max_length=60)
    unit = models.CharField(max_length=8)
    forms = models.JSONField(default=list)
    low = models.DecimalField(max_digits=10, decimal_places=4, null=True)
    high = models.DecimalField(max_digits=10, decimal_places=4, null=True)
    clock_days = models.DecimalField(max_digits=5, decimal_places=1, null=True)
    readings_in_row = models.PositiveSmallIntegerField(default=2)
    out_of_window = models.CharField(max_length=5, choices=OutOfWindow, default=OutOfWindow.PAUSE)
    longest_gap_h = models.DecimalField(max_digits=5, decimal_places=1, default=36)
    half_life_h = models.DecimalField(max_digits=6, decimal_places=1, null=True)
    clear_below = models.DecimalField(max_digits=10, decimal_places=4, null=True)
    is_read = models.BooleanField(default=False)
    is_bath = models.BooleanField(default=False)
    takes_order = models.BooleanField(default=True)
    takes_second = models.BooleanField(default=False)
    takes_trial = models.BooleanField(default=False)
    stored_above_c = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    devices_off = models.JSONField(default=list)
    cards = models.JSONField(default=list)
    regime = models.CharField(max_length=400, blank=True)
    period = DateTimeRangeField()

    objects = AgentQuerySet.as_manager()

    class Meta:
        constraints = [
            ExclusionConstraint(
                name="quarantine_agent_one_at_a_time",
                expressions=[
                    ("site", RangeOperators.EQUAL),
                    ("code", RangeOperators.EQUAL),
                    ("period", RangeOperators.OVERLAPS),
                ],
            ),
            models.CheckConstraint(
                condition=Q(low=None) | Q(high=None) | Q(high__gte=F("low")),
                name="quarantine_agent_window",
            ),
            models.CheckConstraint(
                condition=Q(readings_in_row__gte=1, longest_gap_h__gt=0),
                name="quarantine_agent_clock",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class AgentStop(Sourced):
    """What stops a dose of the agent; ``figures`` are those of its kind.

    MAXIMUM ``{"most", "groups"?, "genera"?, "not_genera"?, "from_c"?}``, MINUTES ``{"most"}``,
    TEMPERATURE, OXYGEN, ALKALINITY and SALINITY ``{"low"?, "high"?}`` in canonical units,
    GROUPS ``{"groups"}``, SPECIES ``{"genera"?, "names"?}``, REPEAT ``{"least_h"}``.
    """

    class Kind(models.TextChoices):
        MAXIMUM = "MAXIMUM", "Never more than"
        MINUTES = "MINUTES", "Never longer than"
        TEMPERATURE = "TEMPERATURE", "Temperature"
        OXYGEN = "OXYGEN", "Dissolved oxygen"
        ALKALINITY = "ALKALINITY", "Alkalinity"
        SALINITY = "SALINITY", "Salinity"
        GROUPS = "GROUPS", "Kinds of animals"
        SPECIES = "SPECIES", "Species"
        REPEAT = "REPEAT", "Between two doses"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    agent = models.ForeignKey(Agent, models.PROTECT, related_name="stops")
    kind = models.CharField(max_length=12, choices=Kind)
    figures = models.JSONField()
    sentence = models.CharField(max_length=300)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=~Q(sentence=""), name="quarantine_agentstop_says"),
        ]


class ContainerQuerySet(models.QuerySet["Container"]):
    def open_to(self, person: Person) -> Self:
        return self.filter(site__in=Site.objects.open_to(person))


class Container(models.Model):
    """One bottle, tub or drum of an agent, known by ``agent_code``.

    ``label_strength`` stands on it in its ``form``; ``strength`` is what follows: how much that
    counts is in one g of a solid or one mL of a solution, in mg, of formalin in µL. The coldest
    it was stored at is asked where cold spoils the agent. Another batch is another container.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="containers")
    agent_code = models.CharField(max_length=24)
    name = models.CharField(max_length=80)
    form = models.CharField(max_length=24)
    is_solid = models.BooleanField()
    label_strength = models.DecimalField(max_digits=10, decimal_places=4)
    strength = models.DecimalField(max_digits=12, decimal_places=5)
    batch = models.CharField(max_length=40)
    expires_on = models.DateField()
    opened_on = models.DateField(null=True, blank=True)
    coldest_c = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    shelved_at = models.DateTimeField()
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = ContainerQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["site", "name", "batch"], name="quarantine_container_name"
            ),
            models.CheckConstraint(
                condition=Q(label_strength__gt=0, strength__gt=0),
                name="quarantine_container_strength",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def unit(self) -> str:
        return "g" if self.is_solid else "mL"


class Trial(Fact):
    """A few animals were treated from this very container first, and watched."""

    container = models.ForeignKey(Container, models.PROTECT, related_name="trials")
    species = models.CharField(max_length=120)
    count = models.PositiveSmallIntegerField()
    concentration = models.DecimalField(max_digits=10, decimal_places=4)
    watched_h = models.DecimalField(max_digits=5, decimal_places=1)
    was_harmed = models.BooleanField()
    note = models.CharField(max_length=300, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(count__gt=0, watched_h__gt=0, concentration__gt=0),
                name="quarantine_trial_happened",
            ),
        ]
