"""Nitrifiers brought in: a culture from the shelf, or mature media."""

from dataclasses import asdict, dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from facility.models import Person
from facility.refusals import Refusal
from tanks.commands.befalling import begin, record
from tanks.commands.litres import water_then
from tanks.commands.products import WrongSubstance, product_for
from tanks.models import Product, Seeding, Vessel


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


@transaction.atomic(durable=True)
def log_seeding(command: LogSeeding, *, by: Person, at: datetime) -> Seeding:
    """Keep what nitrifiers came in, and from where.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, NotYetThere, UnknownSeed,
        CultureMissing, WrongSubstance, ProductRetired, ProductExpired, OriginMissing,
        QuantityMissing
    """
    columns = asdict(command)
    vessel, delivered = begin(Seeding, columns, "tanks.log-seeding", by=by, at=at)
    if delivered:
        return delivered
    water_then(vessel, at=command.happened_at)
    _require_seed(command, vessel)
    seeding = Seeding.objects.create(**columns, recorded_at=at, by=by)
    record("tanks.log-seeding", seeding, vessel, by=by, at=at)
    return seeding


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
