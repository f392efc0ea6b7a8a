"""Pictures that people took of what they saw."""

from django.db import models
from django.db.models import Q

from facility.models.facts import Fact, FactQuerySet
from facility.models.places import Site

# As base64 a third longer; a phone's page sends about a tenth of it.
LONGEST_BASE64 = 4_000_000


class Photo(Fact):
    """A JPEG, kept byte for byte; the ledger holds its SHA-256.

    ``about`` names the subject as the ledger does. What was recorded beside it may name it too.
    """

    site = models.ForeignKey(Site, models.PROTECT, related_name="photos")
    about = models.CharField(max_length=120)
    jpeg = models.BinaryField(max_length=LONGEST_BASE64)
    sha256 = models.CharField(max_length=64)
    width_px = models.PositiveIntegerField()
    height_px = models.PositiveIntegerField()

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(width_px__gt=0, height_px__gt=0), name="facility_photo_size"
            ),
        ]
        indexes = [models.Index(fields=["about", "-happened_at"], name="facility_photo_about")]
