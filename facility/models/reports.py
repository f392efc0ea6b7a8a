"""Reports that were drawn up and kept as they were."""

from django.db import models

from facility.models.people import Person
from facility.models.places import Site


class KeptReport(models.Model):
    """A report of a period; ``digest`` is SHA-256 of its canonical content."""

    class Kind(models.TextChoices):
        WEEK = "WEEK", "Water quality and test coverage of a week"
        MONTH = "MONTH", "Compliance of a month"

    id = models.UUIDField(primary_key=True, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="reports")
    kind = models.CharField(max_length=5, choices=Kind)
    begins_on = models.DateField()
    ends_on = models.DateField()
    content = models.JSONField()
    digest = models.CharField(max_length=64)
    made_at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["site", "kind", "begins_on", "digest"], name="facility_report_once"
            ),
            models.CheckConstraint(
                condition=models.Q(ends_on__gte=models.F("begins_on")),
                name="facility_report_period",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} from {self.begins_on}"
