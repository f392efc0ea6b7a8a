"""Water changed, feed given, nitrifiers brought in, mishaps: what befell a water besides doses."""

from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any, Final, TypeVar
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.models import Fact, Person
from facility.refusals import Refusal
from facility.rules.wording import written
from tanks.commands.finding import require_in_use, vessel_for
from tanks.commands.litres import net_litres, water_then
from tanks.commands.products import WrongSubstance, product_for
from tanks.models import Feeding, Incident, Product, Seeding, Vessel, WaterChange

FactT = TypeVar("FactT", bound=Fact)


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


class UnknownSeed(Refusal):
    code = "unknown-seed"
    field = "kind"


class CultureMissing(Refusal):
    code = "culture-missing"
    field = "product_id"


class OriginMissing(Refusal):
    code = "origin-missing"
    field = "origin"


class QuantityMissing(Refusal):
    code = "quantity-missing"
    field = "quantity"


class UnknownIncident(Refusal):
    code = "unknown-incident"
    field = "kind"


class HoursOffScale(Refusal):
    code = "hours-off-scale"
    field = "lasted_h"


class NoteMissing(Refusal):
    code = "note-missing"
    field = "note"


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


@dataclass(frozen=True, slots=True, kw_only=True)
class LogSeeding:
    """A culture from the shelf, or mature media whose origin is named."""

    id: UUID
    vessel_id: UUID
    kind: str
    product_id: UUID | None
    origin: str
    quantity: str
    happened_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class LogIncident:
    """``lasted_h`` is None where nobody knows how long."""

    id: UUID
    vessel_id: UUID
    kind: str
    lasted_h: Decimal | None
    note: str
    happened_at: datetime


@transaction.atomic(durable=True)
def log_water_change(command: LogWaterChange, *, by: Person, at: datetime) -> WaterChange:
    """Keep what was exchanged, with the net litres of the water at that moment.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, NotYetThere, VolumeUnknown,
        LitresOffScale, SourceOffScale
    """
    columns = _scaled(command, _CHANGE_STEPS)
    vessel, delivered = _begin(WaterChange, columns, "tanks.log-water-change", by=by, at=at)
    if delivered:
        return delivered
    litres = net_litres(water_then(vessel, at=command.happened_at))
    if not 0 < columns["litres"] <= litres:
        raise LitresOffScale(
            f"This water holds {written(litres)} L net: give more than 0 L, and not more than that."
        )
    _require_source(columns)
    change = WaterChange.objects.create(**columns, water_litres=litres, recorded_at=at, by=by)
    _record("tanks.log-water-change", change, vessel, by=by, at=at)
    return change


@transaction.atomic(durable=True)
def log_feeding(command: LogFeeding, *, by: Person, at: datetime) -> Feeding:
    """Keep what was fed.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, NotYetThere, VolumeUnknown,
        GramsNotPositive, ProteinOffScale
    """
    columns = _scaled(command, _FEED_STEPS)
    vessel, delivered = _begin(Feeding, columns, "tanks.log-feeding", by=by, at=at)
    if delivered:
        return delivered
    if columns["grams"] <= 0:
        raise GramsNotPositive("Write the grams that were fed, more than 0.")
    if not 0 < columns["protein_share"] <= 1:
        raise ProteinOffScale("Write the protein on the label, above 0 and up to 100 %.")
    litres = net_litres(water_then(vessel, at=command.happened_at))
    feeding = Feeding.objects.create(**columns, water_litres=litres, recorded_at=at, by=by)
    _record("tanks.log-feeding", feeding, vessel, by=by, at=at)
    return feeding


@transaction.atomic(durable=True)
def log_seeding(command: LogSeeding, *, by: Person, at: datetime) -> Seeding:
    """Keep what nitrifiers came in, and from where.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, NotYetThere, UnknownSeed,
        CultureMissing, WrongSubstance, ProductRetired, ProductExpired, OriginMissing,
        QuantityMissing
    """
    columns = asdict(command)
    vessel, delivered = _begin(Seeding, columns, "tanks.log-seeding", by=by, at=at)
    if delivered:
        return delivered
    water_then(vessel, at=command.happened_at)
    _require_seed(command, vessel)
    seeding = Seeding.objects.create(**columns, recorded_at=at, by=by)
    _record("tanks.log-seeding", seeding, vessel, by=by, at=at)
    return seeding


@transaction.atomic(durable=True)
def log_incident(command: LogIncident, *, by: Person, at: datetime) -> Incident:
    """Keep what befell the water or its filter; rules draw their own conclusions from it.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, NotYetThere, UnknownIncident,
        HoursOffScale, NoteMissing
    """
    columns = _scaled(command, _INCIDENT_STEPS)
    vessel, delivered = _begin(Incident, columns, "tanks.log-incident", by=by, at=at)
    if delivered:
        return delivered
    water_then(vessel, at=command.happened_at)
    if command.kind not in Incident.Kind.values:
        raise UnknownIncident("Choose what happened.")
    if command.lasted_h is not None and not 0 < columns["lasted_h"] < _MOST_HOURS:
        raise HoursOffScale("Write how many hours it lasted, more than 0, or leave it empty.")
    if not command.note.strip():
        raise NoteMissing("Say in a few words what happened.")
    incident = Incident.objects.create(**columns, recorded_at=at, by=by)
    _record("tanks.log-incident", incident, vessel, by=by, at=at)
    return incident


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
_INCIDENT_STEPS: Final = {"lasted_h": _CENTI}
_MOST_HOURS: Final = 10_000
_MOST_OF_SOURCE: Final = {
    "source_tan_mg_l_n": 100,
    "source_nitrate_mg_l_n": 1000,
    "source_alkalinity_meq_l": 50,
    "source_salinity_g_kg": 60,
}


def _scaled(command: Any, steps: dict[str, Decimal]) -> dict[str, Any]:
    """Numbers as their columns hold them, so that a second delivery says the same."""
    columns = asdict(command)
    for name, step in steps.items():
        if columns[name] is not None:
            columns[name] = columns[name].quantize(step)
    return columns


def _begin(
    model: type[FactT], columns: dict[str, Any], deed: str, *, by: Person, at: datetime
) -> tuple[Vessel, FactT | None]:
    vessel = vessel_for(by, columns["vessel_id"], deed=deed)
    if row := earlier(model, columns["id"], columns):
        return vessel, row
    require_past(columns["happened_at"], at=at)
    require_in_use(vessel, at=columns["happened_at"])
    return vessel, None


def _require_source(columns: dict[str, Any]) -> None:
    for name, most in _MOST_OF_SOURCE.items():
        if columns[name] is not None and not 0 <= columns[name] <= most:
            raise SourceOffScale(f"The source water's value must be from 0 to {most}.", column=name)


def _require_seed(command: LogSeeding, vessel: Vessel) -> None:
    if command.kind not in Seeding.Kind.values:
        raise UnknownSeed("Choose a culture or mature media.")
    if command.kind == Seeding.Kind.CULTURE:
        _require_culture(command, vessel)
    elif not command.origin.strip():
        raise OriginMissing(
            "Name the tank or system the media comes from: seeding brings its diseases along."
        )
    elif command.product_id is not None:
        raise WrongSubstance("Mature media is not from the shelf; leave the product out.")
    if not command.quantity.strip():
        raise QuantityMissing("Say how much went in, such as 500 mL or 2 bags.")


def _require_culture(command: LogSeeding, vessel: Vessel) -> None:
    if command.product_id is None:
        raise CultureMissing("Choose the culture from the shelf, so that its batch is known.")
    product = product_for(vessel.site, command.product_id, at=command.happened_at)
    if product.substance != Product.Substance.CULTURE:
        raise WrongSubstance(f"{product} is no nitrifier culture; choose another container.")


def _record(kind: str, row: Fact, vessel: Vessel, *, by: Person, at: datetime) -> None:
    when = row.happened_at
    ledger.record(
        kind, [row], about=vessel, site=vessel.site, by=by, happened_at=when, recorded_at=at
    )
