"""What was seen of the animals in a tank."""

from typing import Final

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import Q

from facility.models import Fact, FactQuerySet
from quarantine.models.lots import Lot
from tanks.models import Vessel

# Signs that can be seen through the glass, as the trade's daily sheets list them.
SIGNS: Final = {
    "CLAMPED": "Fins clamped",
    "HANGING": "Hanging, hiding or listless",
    "RUBBING": "Rubbing or flashing",
    "SPOTS": "Spots",
    "FLUFF": "Fluff, film or slime",
    "WOUND": "Wound or ulcer",
    "FINS": "Torn or ragged fins",
    "EYES": "Swollen or cloudy eyes",
    "BELLY": "Swollen or hollow belly",
    "BALANCE": "Off balance",
    "FAECES": "White or stringy faeces",
    "COLOUR": "Too dark or too pale",
    "CHASED": "Chased or bitten by others",
    "OTHER": "Something else",
}


class Observation(Fact):
    """Looking at a tank, or at one lot in it; ``signs`` empty means none were seen.

    ``photos`` are ids of pictures, which may arrive after it.
    """

    class Feeding(models.TextChoices):
        ATE = "ATE", "Ate"
        LITTLE = "LITTLE", "Ate little or slowly"
        REFUSED = "REFUSED", "Refused"
        NOT_OFFERED = "NOT_OFFERED", "Nothing offered"

    class Respiration(models.TextChoices):
        CALM = "CALM", "Calm"
        FAST = "FAST", "Fast"
        GASPING = "GASPING", "Gasping, at the surface or the inlet"
        NOT_JUDGED = "NOT_JUDGED", "Cannot be judged"

    vessel = models.ForeignKey(Vessel, models.PROTECT, related_name="observations")
    lot = models.ForeignKey(Lot, models.PROTECT, related_name="observations", null=True, blank=True)
    seen_count = models.PositiveIntegerField(null=True, blank=True)
    feeding = models.CharField(max_length=12, choices=Feeding)
    respiration = models.CharField(max_length=12, choices=Respiration)
    signs = ArrayField(models.CharField(max_length=10), default=list, blank=True)
    note = models.CharField(max_length=300, blank=True)
    photos = ArrayField(models.UUIDField(), default=list, blank=True)

    objects = FactQuerySet.as_manager()

    class Meta(Fact.Meta):
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(feeding__in=["ATE", "LITTLE", "REFUSED", "NOT_OFFERED"]),
                name="quarantine_observation_feeding",
            ),
            models.CheckConstraint(
                condition=Q(respiration__in=["CALM", "FAST", "GASPING", "NOT_JUDGED"]),
                name="quarantine_observation_respiration",
            ),
            models.CheckConstraint(
                condition=Q(signs__contained_by=list(SIGNS)), name="quarantine_observation_signs"
            ),
        ]
        indexes = [models.Index(fields=["vessel", "-happened_at"], name="quarantine_obs_latest")]
