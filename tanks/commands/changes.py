"""Water changed and feed given."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any, Final
from uuid import UUID

from django.db import transaction

from facility.models import Person
from facility.refusals import Refusal
from facility.rules.wording import written
from tanks.commands.befalling import begin, record, scaled
from tanks.commands.litres import net_litres, water_then
from tanks.models import Feeding, WaterChange


class LitresOffScale(Refusal):
    code = "litres-off-scale"
    field = "litres"


class SourceOffScale(Refusal):
    """``field`` is the first value of the source water that cannot be."""

    code = "source-off-scale"

    def __init__(self, sentence: str, *, column: str) -> None:
        super().__init__(sentence)
        self.column = column


class GramsNotPositive(Refusal):
    code = "grams-not-positive"
    field = "grams"


class ProteinOffScale(Refusal):
    code = "protein-off-scale"
    field = "protein_share"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogWaterChange:
    """``litres`` of the water that held the vessel, replaced by source water."""

    id: UUID
    vessel_id: UUID
    litres: Decimal
    happened_at: datetime
    source: str = ""
    source_tan_mg_l_n: Decimal | None = None
    source_nitrate_mg_l_n: Decimal | None = None
    source_alkalinity_meq_l: Decimal | None = None
    source_salinity_g_kg: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LogFeeding:
    """``grams`` as fed; ``protein_share`` from 0 to 1 of that weight, water included."""

    id: UUID
    vessel_id: UUID
    grams: Decimal
    protein_share: Decimal
    happened_at: datetime


@transaction.atomic(durable=True)
def log_water_change(command: LogWaterChange, *, by: Person, at: datetime) -> WaterChange:
    """Keep what was exchanged, with the net litres of the water at that moment.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, NotYetThere, VolumeUnknown,
        LitresOffScale, SourceOffScale
    """
    columns = scaled(command, _CHANGE_STEPS)
    vessel, delivered = begin(WaterChange, columns, "tanks.log-water-change", by=by, at=at)
    if delivered:
        return delivered
    litres = net_litres(water_then(vessel, at=command.happened_at))
    if not 0 < columns["litres"] <= litres:
        raise LitresOffScale(
            f"This water holds {written(litres)} L net: give more than 0 L, and not more than that."
        )
    _require_source(columns)
    change = WaterChange.objects.create(**columns, water_litres=litres, recorded_at=at, by=by)
    record("tanks.log-water-change", change, vessel, by=by, at=at)
    return change


@transaction.atomic(durable=True)
def log_feeding(command: LogFeeding, *, by: Person, at: datetime) -> Feeding:
    """Keep what was fed.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, NotYetThere, VolumeUnknown,
        GramsNotPositive, ProteinOffScale
    """
    columns = scaled(command, _FEED_STEPS)
    vessel, delivered = begin(Feeding, columns, "tanks.log-feeding", by=by, at=at)
    if delivered:
        return delivered
    if columns["grams"] <= 0:
        raise GramsNotPositive("Write the grams that were fed, more than 0.")
    if not 0 < columns["protein_share"] <= 1:
        raise ProteinOffScale("Write the protein on the label, above 0 and up to 100 %.")
    litres = net_litres(water_then(vessel, at=command.happened_at))
    feeding = Feeding.objects.create(**columns, water_litres=litres, recorded_at=at, by=by)
    record("tanks.log-feeding", feeding, vessel, by=by, at=at)
    return feeding


_CENTI: Final = Decimal("0.01")
_MILLI: Final = Decimal("0.001")
_CHANGE_STEPS: Final = {
    "litres": _CENTI,
    "source_tan_mg_l_n": _MILLI,
    "source_nitrate_mg_l_n": _MILLI,
    "source_alkalinity_meq_l": _MILLI,
    "source_salinity_g_kg": _MILLI,
}
_FEED_STEPS: Final = {"grams": _CENTI, "protein_share": _MILLI}
_MOST_OF_SOURCE: Final = {
    "source_tan_mg_l_n": 100,
    "source_nitrate_mg_l_n": 1000,
    "source_alkalinity_meq_l": 50,
    "source_salinity_g_kg": 60,
}


def _require_source(columns: dict[str, Any]) -> None:
    for name, most in _MOST_OF_SOURCE.items():
        if columns[name] is not None and not 0 <= columns[name] <= most:
            raise SourceOffScale(f"The source water's value must be from 0 to {most}.", column=name)
