"""Record animals that died or were put down, and what became of the carcass."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID, uuid5

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import SAVED_OTHERWISE, earlier, require_past
from facility.models import Fact, Person
from facility.refusals import IdTaken, NotFound, Refusal
from quarantine.commands.books import Change, enter, lot_for
from quarantine.commands.observations import require_signs
from quarantine.models import Cause, CountChange, Death, Lot
from quarantine.queries.books import held_by
from tanks.commands.entering import reason_of, require_standing
from tanks.commands.finding import require_in_use, vessel_for
from tanks.models import Vessel

_KINDS = {CountChange.Kind.DIED.value, CountChange.Kind.EUTHANISED.value}


class KindUnknown(Refusal):
    code = "kind-unknown"
    field = "kind"


class CauseUnsaid(Refusal):
    code = "cause-unsaid"
    field = "cause"


class CarcassUnsaid(Refusal):
    code = "carcass-unsaid"
    field = "carcass"


class FewerThanDied(Refusal):
    code = "fewer-than-died"
    field = "alive_before"


class AliveAfterDeath(Refusal):
    code = "alive-after-death"
    field = "last_seen_alive_at"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogDeath:
    """``count`` of a lot were found dead in a vessel, or were put down there.

    ``alive_before`` None is what the book says; then ``alive_known`` is BOOK.
    """

    id: UUID
    vessel_id: UUID
    lot_id: UUID
    count: int
    happened_at: datetime
    kind: str = "DIED"
    cause: str = "UNKNOWN"
    carcass: str = "NECROPSY"
    alive_before: int | None = None
    alive_known: str = "BOOK"
    last_seen_alive_at: datetime | None = None
    signs: tuple[str, ...] = ()
    note: str = ""
    photos: tuple[UUID, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class WithdrawDeath:
    """The animals were not dead, or not these: ``death_id`` is taken back, the book with it."""

    id: UUID
    death_id: UUID
    reason: str


@transaction.atomic(durable=True)
def log_death(command: LogDeath, *, by: Person, at: datetime) -> Death:
    """Keep the deaths and take them out of the book.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, NoneCounted,
        CountsDoNotClose, KindUnknown, CauseUnsaid, CarcassUnsaid, FewerThanDied,
        AliveAfterDeath, UnknownSigns, NoteMissing
    """
    deed = "quarantine.log-death"
    vessel = vessel_for(by, command.vessel_id, deed=deed)
    lot = lot_for(by, command.lot_id, deed=deed)
    if death := _delivered(command):
        return death
    require_past(command.happened_at, at=at)
    require_in_use(vessel, at=command.happened_at)
    _require_said(command)
    held = held_by(lot, at=command.happened_at).get(vessel.pk, 0)
    change = enter(_change(command, lot, vessel), by=by, at=at)
    death = Death.objects.create(
        id=command.id,
        change=change,
        recorded_at=at,
        by=by,
        **_said(command) | {"alive_before": command.alive_before or held},
    )
    _record(deed, [death, change], vessel, by=by, at=at)
    return death


@transaction.atomic(durable=True)
def withdraw_death(command: WithdrawDeath, *, by: Person, at: datetime) -> Death:
    """Take back a death that was entered wrongly; the first entry stays to be read.

    Raises:
        NotFound, NotAllowed, IdTaken, ReasonMissing, CorrectedBefore
    """
    death = death_for(by, command.death_id, deed="quarantine.withdraw-death")
    said = {"corrects_id": death.pk, "reason": command.reason.strip()}
    if row := earlier(Death, command.id, said):
        return row
    require_standing(death)
    reason = reason_of(command.reason)
    change = enter(_taken_back(command, death.change, reason), by=by, at=at)
    row = Death.objects.create(
        id=command.id,
        change=change,
        recorded_at=at,
        by=by,
        corrects=death,
        reason=reason,
        withdrawn=True,
        **{name: getattr(death, name) for name in _KEPT},
    )
    _record("quarantine.withdraw-death", [row, change], vessel_of(death), by=by, at=at)
    return row


def death_for(by: Person, death_id: UUID, *, deed: str) -> Death:
    """Return the death with its line in the book, with the turn taken at its site.

    Raises:
        NotFound, NotAllowed
    """
    known = Death.objects.filter(pk=death_id, change__from_lot__in=Lot.objects.open_to(by))
    related = known.select_related("change__from_lot__site", "change__from_vessel__site")
    death: Death | None = related.first()
    if death is None:
        raise NotFound("There is no such death here.")
    vessel_for(by, vessel_of(death).pk, deed=deed)
    return death


def vessel_of(death: Death) -> Vessel:
    """The vessel they died in: every death's line has one."""
    vessel = death.change.from_vessel
    if vessel is None:
        raise NotFound("This death names no tank.")
    return vessel


_KEPT: Final = (
    "happened_at",
    "alive_before",
    "alive_known",
    "cause",
    "is_explained",
    "carcass",
    "last_seen_alive_at",
    "signs",
    "note",
    "photos",
)


def _delivered(command: LogDeath) -> Death | None:
    death = earlier(Death, command.id, _said(command))
    if death is None:
        return None
    change, told = death.change, command
    book = (change.kind, change.count, change.from_lot_id, change.from_vessel_id)
    alive = told.alive_before in {None, death.alive_before}
    if not alive or book != (told.kind, told.count, told.lot_id, told.vessel_id):
        raise IdTaken(SAVED_OTHERWISE)
    return death


def _said(command: LogDeath) -> dict[str, Any]:
    return {
        "happened_at": command.happened_at,
        "alive_known": command.alive_known,
        "cause": command.cause,
        "is_explained": command.cause != Cause.UNKNOWN,
        "carcass": command.carcass,
        "last_seen_alive_at": command.last_seen_alive_at,
        "signs": list(command.signs),
        "note": command.note.strip(),
        "photos": list(command.photos),
    }


def _require_said(command: LogDeath) -> None:
    if command.kind not in _KINDS:
        raise KindUnknown("Say whether they were found dead or were euthanised.")
    if command.cause not in Cause.values:
        raise CauseUnsaid("Choose the cause, or say that it is not known.")
    if command.carcass not in Death.Carcass.values:
        raise CarcassUnsaid("Say what becomes of the carcass.")
    _require_alive(command)
    require_signs(command.signs, command.note)


def _require_alive(command: LogDeath) -> None:
    is_from_book = command.alive_known == Death.Known.BOOK
    if command.alive_known not in Death.Known.values or is_from_book != (
        command.alive_before is None
    ):
        raise FewerThanDied(
            "Write how many there were before and whether that was counted or estimated, "
            "or leave both to the book."
        )
    if command.alive_before is not None and command.alive_before < command.count:
        raise FewerThanDied("There were at least as many before as died: count again.")
    seen = command.last_seen_alive_at
    if seen is not None and seen > command.happened_at:
        raise AliveAfterDeath("They were seen alive before they were found: look at both times.")


def _change(command: LogDeath, lot: Lot, vessel: Vessel) -> Change:
    return Change(
        id=uuid5(command.id, "book"),
        kind=command.kind,
        count=command.count,
        happened_at=command.happened_at,
        from_lot=lot,
        from_vessel=vessel,
    )


def _taken_back(command: WithdrawDeath, change: CountChange, reason: str) -> Change:
    return Change(
        id=uuid5(command.id, "book"),
        kind=change.kind,
        count=change.count,
        happened_at=change.happened_at,
        from_lot=change.from_lot,
        from_vessel=change.from_vessel,
        corrects=change,
        reason=reason,
        withdrawn=True,
    )


def _record(kind: str, rows: list[Fact], vessel: Vessel, *, by: Person, at: datetime) -> None:
    ledger.record(
        kind,
        rows,
        about=vessel,
        site=vessel.site,
        by=by,
        happened_at=rows[0].happened_at,
        recorded_at=at,
    )
