"""What died, what was made of it, and what was found in animals that were tested."""

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import F, Q

from facility.models import Fact, FactQuerySet
from quarantine.models.lots import CountChange, Lot
from quarantine.models.observations import SIGNS
from tanks.models import Vessel


class Cause(models.TextChoices):
    UNKNOWN = "UNKNOWN", "Not known"
    TRANSPORT = "TRANSPORT", "Transport"
    WATER = "WATER", "Water out of range"
    EQUIPMENT = "EQUIPMENT", "Equipment failed"
    DISEASE = "DISEASE", "Disease"
    PARASITE = "PARASITE", "Parasites"
    INJURY = "INJURY", "Injury or handling"
    AGGRESSION = "AGGRESSION", "Killed by others"
    JUMPED = "JUMPED", "Jumped out"
    TREATMENT = "TREATMENT", "Treatment"
    STARVED = "STARVED", "Did not eat"
    AGE = "AGE", "Age"
    SPAWNING = "SPAWNING", "Spawning"
    WELFARE = "WELFARE", "Put down to end suffering"
    TEST = "TEST", "Taken for a test"
    OTHER = "OTHER", "Other"


class Death(Fact):
    """Animals of one lot in one vessel that died or were put down; ``change`` is in the book.

    ``alive_before`` is how many there were, and ``alive_known`` how that was known.
    ``is_explained`` is what was thought when it was found; a necropsy may say otherwise.
    """

    class Known(models.TextChoices):
        COUNTED = "COUNTED", "Counted"
        ESTIMATED = "ESTIMATED", "Estimated"
        BOOK = "BOOK", "Carried forward in the book"

    class Carcass(models.TextChoices):
        NECROPSY = "NECROPSY", "Waits for necropsy, not cooled"
        COOLED = "COOLED", "Cooled for necropsy"
        CLAIM = "CLAIM", "Kept for a claim"
        FROZEN = "FROZEN", "Frozen"
        FIXED = "FIXED", "Fixed in formalin"
        DISPOSED = "DISPOSED", "Disposed of by local rules"
        NOT_FOUND = "NOT_FOUND", "No carcass"

    change = models.OneToOneField(CountChange, models.PROTECT, related_name="death")
    alive_before = models.PositiveIntegerField()
    alive_known = models.CharField(max_length=10, choices=Known)
    cause = models.CharField(max_length=10, choices=Cause)
    is_explained = models.BooleanField()
    carcass = models.CharField(max_length=10, choices=Carcass)
    last_seen_alive_at = models.DateTimeField(null=True, blank=True)
    signs = ArrayField(models.CharField(max_length=10), default=list, blank=True)
    note = models.CharField(max_length=300, blank=True)
    photos = ArrayField(models.UUIDField(), default=list, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(alive_before__gt=0), name="quarantine_death_of_how_many"
            ),
            models.CheckConstraint(
                condition=Q(cause="UNKNOWN", is_explained=False)
                | (~Q(cause="UNKNOWN") & Q(is_explained=True)),
                name="quarantine_death_explained",
            ),
            models.CheckConstraint(
                condition=Q(last_seen_alive_at=None) | Q(last_seen_alive_at__lte=F("happened_at")),
                name="quarantine_death_after_life",
            ),
            models.CheckConstraint(
                condition=Q(signs__contained_by=list(SIGNS)), name="quarantine_death_signs"
            ),
        ]


class CarcassFate(Fact):
    """What became of a carcass after it was found; the latest is where it is."""

    death = models.ForeignKey(Death, models.PROTECT, related_name="fates")
    carcass = models.CharField(max_length=10, choices=Death.Carcass)
    note = models.CharField(max_length=200, blank=True)

    objects = FactQuerySet.as_manager()


class Necropsy(Fact):
    """A carcass was opened, at ``happened_at``; ``cause`` is what it showed."""

    death = models.ForeignKey(Death, models.PROTECT, related_name="necropsies")
    examined = models.PositiveSmallIntegerField()
    performed_by = models.CharField(max_length=120)
    gross = models.CharField(max_length=600)
    cause = models.CharField(max_length=10, choices=Cause)
    submitted = models.CharField(max_length=200, blank=True)
    photos = ArrayField(models.UUIDField(), default=list, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(examined__gt=0) & ~Q(gross="") & ~Q(performed_by=""),
                name="quarantine_necropsy_is_said",
            ),
        ]


class Finding(Fact):
    """Animals were tested for ``agent``; ``happened_at`` is when the samples were taken.

    A result that comes in later corrects the finding that waited for it.
    """

    class Result(models.TextChoices):
        PENDING = "PENDING", "Result awaited"
        NEGATIVE = "NEGATIVE", "Not found in this sample"
        POSITIVE = "POSITIVE", "Found"
        UNCLEAR = "UNCLEAR", "Unclear, to be repeated"

    vessel = models.ForeignKey(
        Vessel, models.PROTECT, related_name="findings", null=True, blank=True
    )
    lot = models.ForeignKey(Lot, models.PROTECT, related_name="findings", null=True, blank=True)
    agent = models.CharField(max_length=120)
    method = models.CharField(max_length=120)
    laboratory = models.CharField(max_length=120, blank=True)
    sampled = models.PositiveIntegerField()
    positive = models.PositiveIntegerField(null=True, blank=True)
    result = models.CharField(max_length=8, choices=Result)
    is_notifiable = models.BooleanField(default=False)
    note = models.CharField(max_length=300, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=~Q(vessel=None, lot=None), name="quarantine_finding_of_something"
            ),
            models.CheckConstraint(
                condition=Q(sampled__gt=0) & ~Q(agent="") & ~Q(method=""),
                name="quarantine_finding_is_said",
            ),
            models.CheckConstraint(
                condition=Q(result="PENDING", positive=None)
                | Q(result="UNCLEAR")
                | Q(result="NEGATIVE", positive=0)
                | Q(result="POSITIVE", positive__gt=0, positive__lte=F("sampled")),
                name="quarantine_finding_counts",
            ),
        ]
        indexes = [
            models.Index(fields=["lot", "-happened_at"], name="quarantine_finding_lot"),
            models.Index(fields=["vessel", "-happened_at"], name="quarantine_finding_vessel"),
        ]
