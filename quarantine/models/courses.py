"""Courses of treatment: who ordered them, what was given, what was read, how they ended."""

from django.db import models
from django.db.models import F, Q

from facility.models import Fact, FactQuerySet, Site
from quarantine.models.agents import Agent, Container
from tanks.models import Vessel


class TreatmentOrder(Fact):
    """A licensed veterinarian's order, signed; it holds until ``valid_until``.

    The items of an extra-label record: 21 CFR 530.5. ``low`` to ``high`` is the dosage in the
    agent's own unit and basis; ``minutes`` of a bath; ``withdrawal_days`` 0 where nothing is eaten.
    """

    site = models.ForeignKey(Site, models.PROTECT, related_name="treatment_orders")
    agent = models.ForeignKey(Agent, models.PROTECT, related_name="orders")
    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="treatment_orders")
    licence = models.CharField(max_length=80)
    condition = models.CharField(max_length=200)
    species = models.CharField(max_length=200)
    count = models.PositiveIntegerField()
    low = models.DecimalField(max_digits=10, decimal_places=4)
    high = models.DecimalField(max_digits=10, decimal_places=4)
    minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    duration_days = models.DecimalField(max_digits=5, decimal_places=1)
    withdrawal_days = models.PositiveSmallIntegerField()
    valid_until = models.DateTimeField()
    meaning = models.CharField(max_length=200)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(
                    count__gt=0,
                    low__gt=0,
                    high__gte=F("low"),
                    duration_days__gt=0,
                    valid_until__gt=F("happened_at"),
                ),
                name="quarantine_treatmentorder_dosage",
            ),
        ]


class Course(Fact):
    """A treatment of the water that holds ``vessel``, from ``happened_at`` on.

    ``members`` are the vessels and ``water_litres`` the net litres of that water then. The target
    and window are in the agent's unit; the rules of the clock are kept as they were at opening.
    """

    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="courses")
    agent = models.ForeignKey(Agent, models.PROTECT, related_name="courses")
    order = models.ForeignKey(
        TreatmentOrder, models.PROTECT, related_name="courses", null=True, blank=True
    )
    why = models.CharField(max_length=200)
    target = models.DecimalField(max_digits=10, decimal_places=4)
    low = models.DecimalField(max_digits=10, decimal_places=4, null=True)
    high = models.DecimalField(max_digits=10, decimal_places=4, null=True)
    clock_days = models.DecimalField(max_digits=5, decimal_places=1, null=True)
    members = models.JSONField()
    water_litres = models.DecimalField(max_digits=10, decimal_places=2)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(target__gt=0, water_litres__gt=0), name="quarantine_course_target"
            ),
        ]
        indexes = [models.Index(fields=["vessel", "-happened_at"], name="quarantine_course_latest")]


class CourseStep(Fact):
    """Clearing began, the end level was reached, or the course was abandoned and why."""

    class Kind(models.TextChoices):
        CLEARING = "CLEARING", "Clearing begun"
        CLEARED = "CLEARED", "Cleared"
        ABANDONED = "ABANDONED", "Abandoned"

    course = models.ForeignKey(Course, models.PROTECT, related_name="steps")
    kind = models.CharField(max_length=9, choices=Kind)
    note = models.CharField(max_length=300, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["course", "kind"],
                condition=Q(corrects=None),
                name="quarantine_coursestep_once",
            ),
            models.CheckConstraint(
                condition=~Q(kind="ABANDONED") | ~Q(note=""),
                name="quarantine_coursestep_says_why",
            ),
        ]


class TreatmentDose(Fact):
    """``amount`` of a container really measured out and put in, in ``unit`` (g or mL).

    ``rise`` was aimed at in the agent's unit and ``computed_amount`` follows from it in
    ``water_litres``; ``level_after`` is what was to be expected of what was put in.
    """

    class Intent(models.TextChoices):
        START = "START", "First dose"
        TOP_UP = "TOP_UP", "Top up to the target"
        REDOSE = "REDOSE", "Put back what a water change took"
        BATH = "BATH", "Bath"

    course = models.ForeignKey(Course, models.PROTECT, related_name="doses")
    container = models.ForeignKey(Container, models.PROTECT, related_name="doses")
    intent = models.CharField(max_length=8, choices=Intent)
    rise = models.DecimalField(max_digits=10, decimal_places=4)
    computed_amount = models.DecimalField(max_digits=12, decimal_places=3)
    amount = models.DecimalField(max_digits=12, decimal_places=3)
    unit = models.CharField(max_length=4)
    water_litres = models.DecimalField(max_digits=10, decimal_places=2)
    level_after = models.DecimalField(max_digits=10, decimal_places=4)
    minutes = models.PositiveSmallIntegerField(null=True, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(amount__gt=0, rise__gt=0, water_litres__gt=0),
                name="quarantine_treatmentdose_amount",
            ),
            models.CheckConstraint(
                condition=Q(unit__in=["g", "mL"]), name="quarantine_treatmentdose_unit"
            ),
        ]


class BathEnd(Fact):
    """The animals are out of the bath, or the bath is out of the tank."""

    dose = models.OneToOneField(TreatmentDose, models.PROTECT, related_name="bath_end")
    note = models.CharField(max_length=200, blank=True)

    objects = FactQuerySet.as_manager()


class LevelReading(Fact):
    """How much of the agent the water holds, as a test counts it; ``upper`` of a bracket.

    ``is_below`` says that the test could tell only that it is less than ``value``.
    """

    course = models.ForeignKey(Course, models.PROTECT, related_name="levels")
    value = models.DecimalField(max_digits=10, decimal_places=4)
    upper = models.DecimalField(max_digits=10, decimal_places=4, null=True, blank=True)
    is_below = models.BooleanField(default=False)
    method = models.CharField(max_length=80)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(value__gte=0) & (Q(upper=None) | Q(upper__gt=F("value"))),
                name="quarantine_levelreading_bracket",
            ),
        ]


class SecondComputation(Fact):
    """A second person worked the same dose out alone: their own litres and their own amount."""

    course = models.ForeignKey(Course, models.PROTECT, related_name="computations")
    container = models.ForeignKey(Container, models.PROTECT, related_name="+")
    rise = models.DecimalField(max_digits=10, decimal_places=4)
    litres = models.DecimalField(max_digits=10, decimal_places=2)
    amount = models.DecimalField(max_digits=12, decimal_places=3)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(rise__gt=0, litres__gt=0, amount__gt=0),
                name="quarantine_secondcomputation_amount",
            ),
        ]


class Override(Fact):
    """One named stop of one dose, set aside by somebody who may, with the reason.

    ``dose_id`` is the dose's own id, which it has before it is given; it covers that ``amount`` of
    what ``container_id`` names and nothing else. The container may be a product of the shelf.
    """

    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="overrides")
    dose_id = models.UUIDField()
    container_id = models.UUIDField()
    amount = models.DecimalField(max_digits=12, decimal_places=3)
    stop = models.CharField(max_length=40)
    sentence = models.CharField(max_length=400)
    role = models.CharField(max_length=14)
    why = models.CharField(max_length=300)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["dose_id", "stop", "amount"], name="quarantine_override_once"
            ),
            models.CheckConstraint(
                condition=~Q(why="") & ~Q(stop=""), name="quarantine_override_says_why"
            ),
        ]
