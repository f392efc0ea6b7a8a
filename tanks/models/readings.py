import uuid
from decimal import Decimal

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import F, Q

from facility.models import Fact, FactQuerySet, Site
from tanks.models.vessels import Vessel
from tanks.rules.values import Interval, canonical


class Method(models.Model):
    """How a parameter is measured here: a kit, a photometer, a probe or a titration.

    ``steps`` are the colour steps of a kit in its own unit, lowest first; a step between
    two of them can only be told as a bracket. ``lowest`` and ``highest`` bound what it can read.
    """

    class Kind(models.TextChoices):
        COLOUR_KIT = "COLOUR_KIT", "Colour kit"
        PHOTOMETER = "PHOTOMETER", "Photometer"
        PROBE = "PROBE", "Probe"
        TITRATION = "TITRATION", "Titration"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="methods")
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=12, choices=Kind)
    parameter = models.CharField(max_length=20)
    unit = models.CharField(max_length=20)
    basis = models.CharField(max_length=20, blank=True)
    steps = ArrayField(models.DecimalField(max_digits=10, decimal_places=4), default=list)
    lowest = models.DecimalField(max_digits=10, decimal_places=4, null=True, blank=True)
    highest = models.DecimalField(max_digits=10, decimal_places=4, null=True, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["site", "parameter", "name"], name="tanks_method_name"),
        ]

    def __str__(self) -> str:
        return self.name


class Reading(Fact):
    """One measured value as it was read; ``happened_at`` is when the sample was taken.

    Readings of one sample share ``sample``. ``value`` is in ``unit`` on ``basis`` as entered:
    the value itself, the limit it was below or above, or the lower edge of a bracket.
    """

    class Parameter(models.TextChoices):
        TAN = "TAN", "Total ammonia nitrogen"
        NITRITE = "NITRITE", "Nitrite"
        NITRATE = "NITRATE", "Nitrate"
        PH = "PH", "pH"
        ALKALINITY = "ALKALINITY", "Alkalinity"
        TEMPERATURE = "TEMPERATURE", "Temperature"
        SALINITY = "SALINITY", "Salinity"
        OXYGEN = "OXYGEN", "Dissolved oxygen"
        CHLORINE = "CHLORINE", "Total chlorine"

    class Qualifier(models.TextChoices):
        EQUAL = "EQUAL", "reads"
        BELOW = "BELOW", "below detection"
        ABOVE = "ABOVE", "over range"
        BETWEEN = "BETWEEN", "between"

    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="readings")
    sample = models.UUIDField()
    parameter = models.CharField(max_length=20, choices=Parameter)
    method = models.ForeignKey(Method, models.PROTECT, related_name="+")
    qualifier = models.CharField(max_length=8, choices=Qualifier)
    value = models.DecimalField(max_digits=12, decimal_places=4)
    upper = models.DecimalField(max_digits=12, decimal_places=4, null=True, blank=True)
    as_entered = models.CharField(max_length=40)
    unit = models.CharField(max_length=20)
    basis = models.CharField(max_length=20, blank=True)
    surprise_confirmed = models.BooleanField(default=False)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                # A comparison with nothing is neither true nor false, and a check passes it.
                condition=Q(qualifier="BETWEEN", upper__isnull=False, upper__gt=F("value"))
                | (Q(upper=None) & ~Q(qualifier="BETWEEN")),
                name="tanks_reading_bracket",
            ),
            models.CheckConstraint(
                condition=~Q(parameter="PH") | Q(value__gte=0, value__lte=14),
                name="tanks_reading_ph_on_scale",
            ),
            models.CheckConstraint(
                condition=Q(parameter="TEMPERATURE") | Q(value__gte=0),
                name="tanks_reading_not_negative",
            ),
            models.CheckConstraint(
                condition=~Q(parameter="TEMPERATURE")
                | Q(unit="degC", value__gte=-2, value__lte=45)
                | Q(unit="degF", value__gte=Decimal("28.4"), value__lte=113),
                name="tanks_reading_temperature_of_water",
            ),
            models.CheckConstraint(
                condition=Q(qualifier__in=["EQUAL", "BELOW", "ABOVE", "BETWEEN"]),
                name="tanks_reading_qualifier",
            ),
        ]
        indexes = [
            models.Index(
                fields=["vessel", "parameter", "-happened_at"], name="tanks_reading_latest"
            ),
        ]

    @property
    def interval(self) -> Interval:
        """What it says in canonical units; oxygen in per cent spans what it may be anywhere."""
        return canonical(
            self.parameter, self.qualifier, self.value, self.upper, self.unit, self.basis
        )
