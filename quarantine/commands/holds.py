"""Put a lot or a whole water on hold; lift a hold, and say why it may be lifted."""

from dataclasses import asdict, dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past, take_turn
from facility.models import Person
from facility.queries import people
from facility.refusals import NotFound, Refusal
from facility.rules.wording import day_and_time
from quarantine.commands.books import lot_for
from quarantine.models import Hold, HoldLift, Lot
from quarantine.queries.holds import hold_open_to, site_of
from tanks.commands.finding import vessel_for
from tanks.models import Vessel


class HoldOfNothing(Refusal):
    code = "hold-of-nothing"
    field = "lot_id"


class HoldKindUnknown(Refusal):
    code = "hold-kind-unknown"
    field = "kind"


class HoldWhyMissing(Refusal):
    code = "hold-why-missing"
    field = "why"


class HoldLifted(Refusal):
    code = "hold-lifted"
    field = "hold_id"


class LiftedBeforeHeld(Refusal):
    code = "lifted-before-held"
    field = "happened_at"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceHold:
    """``lot_id`` or ``vessel_id``, not both; of a vessel, all that shares its water is held."""

    id: UUID
    kind: str
    why: str
    happened_at: datetime
    lot_id: UUID | None = None
    vessel_id: UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LiftHold:
    id: UUID
    hold_id: UUID
    why: str
    happened_at: datetime


@transaction.atomic(durable=True)
def place_hold(command: PlaceHold, *, by: Person, at: datetime) -> Hold:
    """From ``happened_at`` on it may not be sold, released, moved out or joined.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, HoldOfNothing, HoldKindUnknown, HoldWhyMissing
    """
    subject = _subject(command, by)
    columns = asdict(command) | {"why": command.why.strip()}
    if hold := earlier(Hold, command.id, columns):
        return hold
    require_past(command.happened_at, at=at)
    if command.kind not in Hold.Kind.values:
        raise HoldKindUnknown("Choose what kind of hold it is.")
    if not columns["why"]:
        raise HoldWhyMissing("Say in a few words why it is held.")
    hold = Hold.objects.create(**columns, recorded_at=at, by=by)
    ledger.record(
        "quarantine.place-hold",
        [hold],
        about=subject,
        site=subject.site,
        by=by,
        happened_at=command.happened_at,
        recorded_at=at,
    )
    return hold


@transaction.atomic(durable=True)
def lift_hold(command: LiftHold, *, by: Person, at: datetime) -> HoldLift:
    """End a hold for good; what it was held for is put again by another one.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, HoldWhyMissing, HoldLifted, LiftedBeforeHeld
    """
    hold = _hold_for(command, by)
    columns = asdict(command) | {"why": command.why.strip()}
    if lift := earlier(HoldLift, command.id, columns):
        return lift
    require_past(command.happened_at, at=at)
    _require_liftable(hold, command)
    lift = HoldLift.objects.create(**columns, recorded_at=at, by=by)
    subject = hold.lot or hold.vessel or hold
    ledger.record(
        "quarantine.lift-hold",
        [lift],
        about=subject,
        site=site_of(hold),
        by=by,
        happened_at=command.happened_at,
        recorded_at=at,
    )
    return lift


def _subject(command: PlaceHold, by: Person) -> Lot | Vessel:
    deed = "quarantine.place-hold"
    if command.lot_id is not None and command.vessel_id is None:
        return lot_for(by, command.lot_id, deed=deed)
    if command.vessel_id is not None and command.lot_id is None:
        return vessel_for(by, command.vessel_id, deed=deed)
    raise HoldOfNothing("Hold one lot, or the water of one tank.")


def _hold_for(command: LiftHold, by: Person) -> Hold:
    hold = hold_open_to(by, command.hold_id)
    if hold is None:
        raise NotFound("There is no such hold here.")
    people.require(by, "quarantine.lift-hold", site_of(hold))
    take_turn(site_of(hold))
    return hold


def _require_liftable(hold: Hold, command: LiftHold) -> None:
    if not command.why.strip():
        raise HoldWhyMissing("Say in a few words why it may be lifted.")
    if HoldLift.objects.filter(hold=hold).exists():
        raise HoldLifted("This hold was lifted before.")
    if command.happened_at < hold.happened_at:
        placed = day_and_time(hold.happened_at, zone=site_of(hold).zone)
        raise LiftedBeforeHeld(f"It was put on hold on {placed}; give that time or a later one.")
