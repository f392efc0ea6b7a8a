import uuid

from django.db import models

from tanks.models.cycles import Cycle


class Forecast(models.Model):
    """One forecast as it was made. It advises and certifies nothing.

    ``digest`` is SHA-256 of the case it was made from; ``as_planned`` and ``unbuffered`` are
    answers of the same case under two plans.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    cycle = models.ForeignKey(Cycle, models.PROTECT, related_name="forecasts")
    made_at = models.DateTimeField()
    digest = models.CharField(max_length=64)
    case = models.JSONField()
    as_planned = models.JSONField()
    unbuffered = models.JSONField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["cycle", "digest"], name="tanks_forecast_once"),
        ]
        indexes = [models.Index(fields=["cycle", "-made_at"], name="tanks_forecast_latest")]
