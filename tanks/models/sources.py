"""What is read of water before it is used: the tap, a mixing station, reverse osmosis."""

from django.db import models

from facility.models import Fact, FactQuerySet, Site
from tanks.models.readings import Method, Reading
from tanks.rules.values import Interval, canonical


class SourceReading(Fact):
    """One measured value of a source water; ``source`` is its name here, such as mains.

    ``value`` is in ``unit`` on ``basis`` as entered, as with the reading of a tank.
    """

    site = models.ForeignKey(Site, models.PROTECT, related_name="source_readings")
    source = models.CharField(max_length=80)
    parameter = models.CharField(max_length=20, choices=Reading.Parameter)
    method = models.ForeignKey(Method, models.PROTECT, related_name="+")
    qualifier = models.CharField(max_length=8, choices=Reading.Qualifier)
    value = models.DecimalField(max_digits=12, decimal_places=4)
    upper = models.DecimalField(max_digits=12, decimal_places=4, null=True, blank=True)
    as_entered = models.CharField(max_length=40)
    unit = models.CharField(max_length=20)
    basis = models.CharField(max_length=20, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=~models.Q(source=""), name="tanks_sourcereading_is_of_something"
            ),
        ]
        indexes = [
            models.Index(
                fields=["site", "source", "parameter", "-happened_at"],
                name="tanks_sourcereading_latest",
            )
        ]

    @property
    def interval(self) -> Interval:
        return canonical(
            self.parameter, self.qualifier, self.value, self.upper, self.unit, self.basis
        )
