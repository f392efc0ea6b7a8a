"""Animals that leave for good: sold, sent off the site, or not found; and an entry put right."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from django.db import transaction

from facility.commands.deliveries import earlier, require_past
from facility.models import Person
from facility.refusals import NotFound, Refusal
from quarantine.commands.books import Change, enter, lot_for
from quarantine.commands.lots import record_lot, vessel_at
from quarantine.models import CountChange, Lot
from quarantine.queries.selling import hindrances_to_sale


class SaleHeld(Refusal):
    """``hindrances`` holds a sentence for each reason."""

    code = "sale-held"

    def __init__(self, lot: Lot, hindrances: list[str]) -> None:
        self.hindrances = tuple(hindrances)
        super().__init__(f"{lot.code} stays here. " + " ".join(hindrances))


class DestinationMissing(Refusal):
    code = "destination-missing"
    field = "destination"


class MissingUntold(Refusal):
    code = "missing-untold"
    field = "note"


class NotAmendable(Refusal):
    code = "not-amendable"
    field = "change_id"


class AmendReasonMissing(Refusal):
    code = "amend-reason-missing"
    field = "reason"


@dataclass(frozen=True, slots=True, kw_only=True)
class SellAnimals:
    id: UUID
    lot_id: UUID
    vessel_id: UUID
    count: int
    happened_at: datetime
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SendOff:
    """They leave the site unsold: to another site, back to the supplier, on loan."""

    id: UUID
    lot_id: UUID
    vessel_id: UUID
    count: int
    destination: str
    happened_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportMissing:
    """They were looked for and not found, dead or alive; ``note`` says how it was looked."""

    id: UUID
    lot_id: UUID
    vessel_id: UUID
    count: int
    note: str
    happened_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class AmendChange:
    """Another ``count`` in the place of one typed wrong; 0 takes the entry back."""

    id: UUID
    change_id: UUID
    count: int
    reason: str


@transaction.atomic(durable=True)
def sell_animals(command: SellAnimals, *, by: Person, at: datetime) -> CountChange:
    """Take sold animals out of the book, unless something holds them.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, SaleHeld, NoneCounted, CountsDoNotClose
    """
    return _gone(command, "quarantine.sell-animals", command.note, by=by, at=at, is_free=False)


@transaction.atomic(durable=True)
def send_off(command: SendOff, *, by: Person, at: datetime) -> CountChange:
    """Take animals out of the book that leave the site unsold, unless something holds them.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, DestinationMissing, SaleHeld, NoneCounted,
        CountsDoNotClose
    """
    if not command.destination.strip():
        raise DestinationMissing("Write where they went; the movement record asks for it.")
    where = command.destination
    return _gone(command, "quarantine.send-off", where, by=by, at=at, is_free=False)


@transaction.atomic(durable=True)
def report_missing(command: ReportMissing, *, by: Person, at: datetime) -> CountChange:
    """Take out of the book what was looked for and not found.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, MissingUntold, NoneCounted, CountsDoNotClose
    """
    if not command.note.strip():
        raise MissingUntold("Write how it was looked, such as “tank emptied, floor searched”.")
    return _gone(command, "quarantine.report-missing", command.note, by=by, at=at, is_free=True)


@transaction.atomic(durable=True)
def amend_change(command: AmendChange, *, by: Person, at: datetime) -> CountChange:
    """Put a sale, a departure or a missing animal right; the first entry stays to be read.

    Raises:
        NotFound, NotAllowed, IdTaken, NotAmendable, AmendReasonMissing, CountsDoNotClose
    """
    old = _amendable(by, command.change_id)
    reason = command.reason.strip()
    if change := earlier(CountChange, command.id, {"corrects_id": old.pk, "reason": reason}):
        return change
    if not reason:
        raise AmendReasonMissing("Write why, such as “three were sold, not two”.")
    if old.withdrawn or CountChange.objects.filter(corrects=old).exists():
        raise NotAmendable("It was put right since; open the page again.")
    change = enter(_amended(command, old, reason), by=by, at=at)
    lot = old.from_lot
    if lot is not None:
        when = old.happened_at
        record_lot("quarantine.amend-change", lot, [change], when=when, by=by, at=at)
    return change


_KINDS: Final = {
    "quarantine.sell-animals": CountChange.Kind.SOLD,
    "quarantine.send-off": CountChange.Kind.LEFT,
    "quarantine.report-missing": CountChange.Kind.MISSING,
}


def _gone(
    command: SellAnimals | SendOff | ReportMissing,
    deed: str,
    note: str,
    *,
    by: Person,
    at: datetime,
    is_free: bool,
) -> CountChange:
    """Write the line; who is not free to go must be held by nothing."""
    lot = lot_for(by, command.lot_id, deed=deed)
    told: dict[str, Any] = {
        "kind": _KINDS[deed],
        "count": command.count,
        "note": note.strip(),
        "happened_at": command.happened_at,
    }
    sides = {"from_lot_id": lot.pk, "from_vessel_id": command.vessel_id}
    if change := earlier(CountChange, command.id, told | sides):
        return change
    require_past(command.happened_at, at=at)
    vessel = vessel_at(lot.site, command.vessel_id, at=command.happened_at)
    if not is_free and (found := hindrances_to_sale(lot, vessel, at=command.happened_at)):
        raise SaleHeld(lot, found)
    change = enter(Change(id=command.id, from_lot=lot, from_vessel=vessel, **told), by=by, at=at)
    record_lot(deed, lot, [change], when=command.happened_at, by=by, at=at)
    return change


def _amendable(by: Person, change_id: UUID) -> CountChange:
    known = CountChange.objects.filter(from_lot__in=Lot.objects.open_to(by))
    row = known.select_related("from_lot__site", "from_vessel").filter(pk=change_id).first()
    if row is None:
        raise NotFound("There is no such entry in a book here.")
    lot_for(by, row.from_lot_id, deed="quarantine.amend-change")
    if row.kind not in _KINDS.values():
        raise NotAmendable("Only what was sold, sent off or missing is put right here.")
    change: CountChange = row
    return change


def _amended(command: AmendChange, old: CountChange, reason: str) -> Change:
    gone = command.count < 1
    return Change(
        id=command.id,
        kind=old.kind,
        count=old.count if gone else command.count,
        happened_at=old.happened_at,
        from_lot=old.from_lot,
        from_vessel=old.from_vessel,
        note=old.note,
        corrects=old,
        reason=reason,
        withdrawn=gone,
    )
