"""Phones that work without signal: whose they are, and what came back from them."""

import uuid

from django.db import models

from facility.models.people import Person
from facility.models.places import Site


class Handset(models.Model):
    """A phone or tablet the site trusts to keep entries until there is signal.

    Only a hash of its token is kept.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="handsets")
    name = models.CharField(max_length=80)
    token_sha256 = models.CharField(max_length=64, unique=True)
    paired_at = models.DateTimeField()
    paired_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    revoked_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return self.name


class Pin(models.Model):
    """A person's short secret for changing hands on a shared phone; the latest holds.

    ``secret`` is a password hash. It opens nothing without a paired handset.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    person = models.ForeignKey(Person, models.PROTECT, related_name="pins")
    secret = models.CharField(max_length=200)
    set_at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["person", "-set_at"], name="facility_pin_latest")]

    def __str__(self) -> str:
        return f"PIN of {self.person}"


class Sent(models.Model):
    """One entry that came back from a phone: what was asked, and how it was answered.

    ``id`` is the entry's own, made on the phone. ``skew_s`` is the phone's clock less the
    server's when it was sent; ``made_at`` is the phone's own time, uncorrected. ``asks`` is what
    the same command must hold in ``confirmed`` to be accepted.
    """

    class Answer(models.TextChoices):
        SAVED = "SAVED", "Saved"
        REFUSED = "REFUSED", "Refused"

    id = models.UUIDField(primary_key=True, editable=False)
    handset = models.ForeignKey(Handset, models.PROTECT, null=True, blank=True, related_name="sent")
    site = models.ForeignKey(Site, models.PROTECT, null=True, blank=True, related_name="+")
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    deed = models.CharField(max_length=80)
    command = models.JSONField()
    made_at = models.DateTimeField()
    received_at = models.DateTimeField()
    skew_s = models.FloatField()
    answer = models.CharField(max_length=8, choices=Answer)
    field = models.CharField(max_length=80, blank=True)
    sentence = models.CharField(max_length=500, blank=True)
    asks = models.JSONField(default=list)

    class Meta:
        indexes = [models.Index(fields=["by", "-received_at"], name="facility_sent_latest")]

    def __str__(self) -> str:
        return f"{self.deed} {self.answer}"
