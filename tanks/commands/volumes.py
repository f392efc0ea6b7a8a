"""How much water a vessel holds."""

from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.models import Person
from facility.refusals import Refusal
from tanks.commands.finding import require_in_use, vessel_for
from tanks.models import Volume
from tanks.rules.volumes import BadBasis, Working, working


class UnknownMeans(Refusal):
    code = "unknown-means"
    field = "means"


class VolumeImpossible(Refusal):
    """``field`` is the measure to mend."""

    code = "volume-impossible"
    field = "basis"

    def __init__(self, sentence: str, *, measure: str) -> None:
        super().__init__(sentence)
        self.measure = measure


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureVolume:
    """``basis`` holds the measures of `tanks.rules.volumes`, numbers as text."""

    id: UUID
    vessel_id: UUID
    happened_at: datetime
    means: str
    basis: dict[str, Any]


@transaction.atomic(durable=True)
def measure_volume(command: MeasureVolume, *, by: Person, at: datetime) -> Volume:
    """Keep the net litres that follow from the measures, from ``happened_at`` on.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, UnknownMeans, VolumeImpossible
    """
    vessel = vessel_for(by, command.vessel_id, deed="tanks.measure-volume")
    if volume := earlier(Volume, command.id, asdict(command)):
        return volume
    require_past(command.happened_at, at=at)
    require_in_use(vessel, at=command.happened_at)
    litres = Decimal(str(_worked_out(command).litres)).quantize(Decimal("0.01"))
    volume = Volume.objects.create(**asdict(command), litres=litres, recorded_at=at, by=by)
    ledger.record(
        "tanks.measure-volume",
        [volume],
        about=vessel,
        site=vessel.site,
        by=by,
        happened_at=command.happened_at,
        recorded_at=at,
    )
    return volume


def _worked_out(command: MeasureVolume) -> Working:
    if command.means not in Volume.Means.values:
        raise UnknownMeans("Choose a metered fill or measures of the tank.")
    try:
        return working(command.means, command.basis)
    except BadBasis as error:
        raise VolumeImpossible(str(error), measure=error.field) from error
