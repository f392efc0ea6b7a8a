"""What calls somebody, who was called, and what they did about it."""

import uuid
from typing import Self

from django.contrib.postgres.fields import DateTimeRangeField
from django.db import models
from django.db.models import Q

from facility.models.facts import Fact, FactQuerySet
from facility.models.people import Person
from facility.models.places import Area, Site


class AlertQuerySet(models.QuerySet["Alert"]):
    def open_to(self, person: Person) -> Self:
        return self.filter(site__in=Site.objects.open_to(person))

    def standing(self) -> Self:
        return self.filter(cleared_at=None)


class Alert(models.Model):
    """One for each water (or other subject) at a time, whatever the number of its signs.

    ``level`` 1 acts now, 2 today, 3 is only listed. It stands until a person clears it with a
    cause; a sign that passes by itself does not clear it. ``act`` is what was done about it.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="alerts")
    area = models.ForeignKey(Area, models.PROTECT, related_name="+", null=True, blank=True)
    about = models.CharField(max_length=120)
    name = models.CharField(max_length=120)
    url = models.CharField(max_length=200)
    level = models.PositiveSmallIntegerField()
    raised_at = models.DateTimeField()
    owner = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    backup = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    accepted_at = models.DateTimeField(null=True, blank=True)
    accepted_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    escalated_at = models.DateTimeField(null=True, blank=True)
    escalations = models.PositiveSmallIntegerField(default=0)
    cleared_at = models.DateTimeField(null=True, blank=True)
    cleared_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    cause = models.CharField(max_length=40, blank=True)
    cause_note = models.CharField(max_length=200, blank=True)
    action_needed = models.BooleanField(null=True)
    act = models.CharField(max_length=200, blank=True)

    objects = AlertQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["site", "about"],
                condition=Q(cleared_at=None),
                name="facility_alert_one_for_each_subject",
            ),
            models.CheckConstraint(condition=Q(level__in=[1, 2, 3]), name="facility_alert_level"),
            models.CheckConstraint(
                condition=Q(cleared_at=None, cause="")
                | (Q(cleared_at__isnull=False) & ~Q(cause="")),
                name="facility_alert_cleared_with_cause",
            ),
        ]
        indexes = [models.Index(fields=["site", "-raised_at"], name="facility_alert_latest")]

    def __str__(self) -> str:
        return self.name


class Sign(models.Model):
    """One reason an alert stands: which rule says so, and the sentence people read.

    ``advice`` is what the rule offers to do. ``evidence`` names the rows it was seen in.
    ``passed_at`` is when it was no longer so.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    alert = models.ForeignKey(Alert, models.PROTECT, related_name="signs")
    rule = models.CharField(max_length=60)
    level = models.PositiveSmallIntegerField()
    sentence = models.CharField(max_length=400)
    advice = models.CharField(max_length=300, blank=True)
    source = models.CharField(max_length=200, blank=True)
    evidence = models.JSONField(default=list)
    seen_at = models.DateTimeField()
    passed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["alert", "rule"],
                condition=Q(passed_at=None),
                name="facility_sign_once",
            ),
        ]

    def __str__(self) -> str:
        return self.sentence


class Maintenance(Fact):
    """Planned work: no alert of ``level`` 2 or 3 is pushed about the subject during ``period``."""

    site = models.ForeignKey(Site, models.PROTECT, related_name="+")
    about = models.CharField(max_length=120)
    why = models.CharField(max_length=200)
    period = DateTimeRangeField()

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(period__upper_inf=False), name="facility_maintenance_ends"
            ),
        ]


class Channel(models.Model):
    """A way to reach a person, or a webhook of the site.

    ``settings`` holds an address, a push subscription or a URL; ``secret`` signs webhooks.
    """

    class Kind(models.TextChoices):
        EMAIL = "EMAIL", "E-mail"
        PUSH = "PUSH", "Push to a phone"
        WEBHOOK = "WEBHOOK", "Signed webhook"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="channels")
    person = models.ForeignKey(
        Person, models.PROTECT, null=True, blank=True, related_name="channels"
    )
    kind = models.CharField(max_length=8, choices=Kind)
    name = models.CharField(max_length=80)
    settings = models.JSONField()
    secret = models.CharField(max_length=120, blank=True)
    up_to_level = models.PositiveSmallIntegerField(default=2)
    set_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(kind="WEBHOOK", person=None)
                | (Q(kind__in=["EMAIL", "PUSH"]) & Q(person__isnull=False)),
                name="facility_channel_belongs",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Notice(models.Model):
    """One message to be delivered about an alert by one channel; written with the alert itself.

    ``step`` is why: raised, worse, escalated, reminded, accepted or cleared.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    alert = models.ForeignKey(Alert, models.PROTECT, related_name="notices")
    channel = models.ForeignKey(Channel, models.PROTECT, related_name="notices")
    step = models.CharField(max_length=12)
    text = models.CharField(max_length=500)
    made_at = models.DateTimeField()
    tries = models.PositiveSmallIntegerField(default=0)
    next_try_at = models.DateTimeField(null=True, blank=True)
    delivered_at = models.DateTimeField(null=True, blank=True)
    given_up_at = models.DateTimeField(null=True, blank=True)
    last_fault = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["alert", "channel", "step", "made_at"], name="facility_notice_once"
            ),
        ]
        indexes = [
            models.Index(
                fields=["next_try_at"],
                condition=Q(delivered_at=None, given_up_at=None),
                name="facility_notice_waiting",
            )
        ]

    def __str__(self) -> str:
        return self.text
