from typing import Self

from django.db import models

from facility.models.people import Person
from facility.models.places import Site


class EntryQuerySet(models.QuerySet["Entry"]):
    def open_to(self, person: Person) -> Self:
        return self.filter(site__in=Site.objects.open_to(person))


class Entry(models.Model):
    """One line of a site's ledger: what one command changed, chained to the line before.

    ``digest`` is SHA-256 over the canonical JSON of everything else in the line, the
    previous line's digest included. ``about`` names what the line is about
    (``tanks.vessel:<id>``); ``facts`` holds the rows as they were written.
    """

    site = models.ForeignKey(Site, models.PROTECT, related_name="entries")
    number = models.PositiveBigIntegerField()
    kind = models.CharField(max_length=80)
    about = models.CharField(max_length=120)
    facts = models.JSONField()
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, null=True, related_name="+")
    previous = models.CharField(max_length=64)
    digest = models.CharField(max_length=64)

    objects = EntryQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["site", "number"], name="facility_entry_number"),
        ]
        indexes = [models.Index(fields=["about", "number"], name="facility_entry_about")]

    def __str__(self) -> str:
        return f"entry {self.number} of {self.site_id}: {self.kind}"
