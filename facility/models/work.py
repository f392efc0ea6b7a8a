"""What recurs, each time it falls due, and what became of it."""

import uuid
from typing import Self

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import Q

from facility.models.facts import Fact, FactQuerySet
from facility.models.people import Person
from facility.models.places import Area, Site


class WorkKind(models.TextChoices):
    TEST = "TEST", "Test"
    FEED = "FEED", "Feed"
    DOSE = "DOSE", "Dose"
    SERVICE = "SERVICE", "Filter service"
    CALIBRATE = "CALIBRATE", "Calibration"
    SOURCE_WATER = "SOURCE_WATER", "Source water"
    KEEP_FED = "KEEP_FED", "Keep the filter fed"
    WALK = "WALK", "Walk"
    RETEST = "RETEST", "Retest"
    FOLLOW_UP = "FOLLOW_UP", "Follow-up look"
    CLOSING = "CLOSING", "Closing list"
    OTHER = "OTHER", "Other"


class Work(models.Model):
    """What duties and tasks have in common.

    ``about`` names the subject as the ledger does (``tanks.vessel:<id>``). ``asks`` says what
    proves it done: ``{"deeds": ["tanks.log-readings"], "parameters": ["TAN"]}``, empty for a
    word. ``skill`` names a skill the person must have; empty for anybody.
    """

    site = models.ForeignKey(Site, models.PROTECT, related_name="+")
    area = models.ForeignKey(Area, models.PROTECT, related_name="+", null=True, blank=True)
    kind = models.CharField(max_length=12, choices=WorkKind)
    title = models.CharField(max_length=160)
    why = models.CharField(max_length=300, blank=True)
    about = models.CharField(max_length=120)
    asks = models.JSONField(default=dict, blank=True)
    minutes = models.PositiveSmallIntegerField()
    skill = models.CharField(max_length=40, blank=True)
    hygiene_rank = models.PositiveSmallIntegerField()

    class Meta:
        abstract = True


class DutyQuerySet(models.QuerySet["Duty"]):
    def open_to(self, person: Person) -> Self:
        return self.filter(site__in=Site.objects.open_to(person))

    def in_force(self) -> Self:
        return self.filter(ended_at=None)


class Duty(Work):
    """Something that recurs: ``rule`` is an RFC 5545 recurrence in the site's local time.

    The first occurrence is at ``begins_on`` ``at``; an occurrence may be done from
    ``opens_before_minutes`` before that moment and is late ``late_after_minutes`` after it.
    ``goes_after`` must be done first on the same day, where both fall on it.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    rule = models.CharField(max_length=200)
    begins_on = models.DateField()
    at = models.TimeField()
    opens_before_minutes = models.PositiveIntegerField()
    late_after_minutes = models.PositiveIntegerField()
    goes_after = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="followers"
    )
    set_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)

    objects = DutyQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(kind__in=WorkKind.values), name="facility_duty_kind"
            ),
            models.CheckConstraint(
                condition=Q(ended_at=None) | Q(ended_at__gte=models.F("set_at")),
                name="facility_duty_ends_after_it_is_set",
            ),
        ]

    def __str__(self) -> str:
        return self.title


class TaskQuerySet(models.QuerySet["Task"]):
    def open_to(self, person: Person) -> Self:
        return self.filter(site__in=Site.objects.open_to(person))

    def undone(self) -> Self:
        """Neither done nor answered with a reason."""
        answered = Completion.objects.current().filter(task=models.OuterRef("pk"))
        return self.filter(~models.Exists(answered))


class Task(Work):
    """One occurrence. Its id is made from the duty and the moment, so raising twice is once.

    ``raised_by`` names what asked for it: empty for a duty's turn, else the ledger line
    (``facility.entry:<id>``) that made a follow-up or a retest necessary.
    """

    id = models.UUIDField(primary_key=True, editable=False)
    duty = models.ForeignKey(Duty, models.PROTECT, null=True, blank=True, related_name="tasks")
    opens_at = models.DateTimeField()
    due_at = models.DateTimeField()
    late_at = models.DateTimeField()
    goes_after = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="followers"
    )
    raised_by = models.CharField(max_length=120, blank=True)
    raised_at = models.DateTimeField()

    objects = TaskQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(kind__in=WorkKind.values), name="facility_task_kind"
            ),
            models.CheckConstraint(
                condition=Q(opens_at__lte=models.F("due_at"), due_at__lte=models.F("late_at")),
                name="facility_task_window",
            ),
        ]
        indexes = [
            models.Index(fields=["site", "due_at"], name="facility_task_due"),
            models.Index(fields=["about", "due_at"], name="facility_task_about"),
        ]

    def __str__(self) -> str:
        return self.title


class Completion(Fact):
    """A task was done, or was not and why. ``evidence`` names the rows that prove it."""

    class Outcome(models.TextChoices):
        DONE = "DONE", "Done"
        NOT_DONE = "NOT_DONE", "Not done"

    task = models.ForeignKey(Task, models.PROTECT, related_name="completions")
    outcome = models.CharField(max_length=8, choices=Outcome)
    why_not = models.CharField(max_length=300, blank=True)
    evidence = ArrayField(models.CharField(max_length=120), default=list, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(outcome="DONE", why_not="") | (Q(outcome="NOT_DONE") & ~Q(why_not="")),
                name="facility_completion_not_done_has_reason",
            ),
            models.UniqueConstraint(
                fields=["task"],
                condition=Q(corrects=None),
                name="facility_completion_answered_once",
            ),
        ]
