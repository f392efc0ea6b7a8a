from django.db import models

from facility.models.people import Person
from facility.models.places import Site


class Document(models.Model):
    """A document that was issued: which, to whom, and the hash of its bytes."""

    id = models.UUIDField(primary_key=True, editable=False)
    site = models.ForeignKey(Site, models.PROTECT, related_name="+")
    kind = models.CharField(max_length=80)
    about = models.CharField(max_length=120)
    sha256 = models.CharField(max_length=64)
    issued_at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    def __str__(self) -> str:
        return f"{self.kind} about {self.about}"
