"""Open a carcass and say what it showed; say where a carcass went."""

from dataclasses import asdict, dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.models import Fact, Person
from facility.refusals import Refusal
from quarantine.commands.deaths import CarcassUnsaid, CauseUnsaid, death_for, vessel_of
from quarantine.models import CarcassFate, Cause, Death, Necropsy
from tanks.commands.entering import require_standing


class MoreThanDied(Refusal):
    code = "more-than-died"
    field = "examined"


class GrossMissing(Refusal):
    code = "gross-missing"
    field = "gross"


class PerformerMissing(Refusal):
    code = "performer-missing"
    field = "performed_by"


class BeforeDeath(Refusal):
    code = "before-death"
    field = "happened_at"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogNecropsy:
    """``gross`` is what was seen, ``submitted`` what went to a laboratory, and which one."""

    id: UUID
    death_id: UUID
    happened_at: datetime
    examined: int
    performed_by: str
    gross: str
    cause: str = "UNKNOWN"
    submitted: str = ""
    photos: tuple[UUID, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SetCarcass:
    """The carcass is now here: cooled, frozen, kept for a claim, disposed of."""

    id: UUID
    death_id: UUID
    happened_at: datetime
    carcass: str
    note: str = ""


@transaction.atomic(durable=True)
def log_necropsy(command: LogNecropsy, *, by: Person, at: datetime) -> Necropsy:
    """Keep what the carcass showed; it does not change what was thought at first.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, BeforeDeath, MoreThanDied, GrossMissing,
        PerformerMissing, CauseUnsaid, CorrectedBefore
    """
    deed = "quarantine.log-necropsy"
    death = death_for(by, command.death_id, deed=deed)
    columns = asdict(command) | {
        "gross": command.gross.strip(),
        "performed_by": command.performed_by.strip(),
        "submitted": command.submitted.strip(),
        "photos": list(command.photos),
    }
    if row := earlier(Necropsy, command.id, columns):
        return row
    _require_standing(death, command.happened_at, at)
    _require_said(command, death)
    row = Necropsy.objects.create(**columns, recorded_at=at, by=by)
    _record(deed, row, death, by=by, at=at)
    return row


@transaction.atomic(durable=True)
def set_carcass(command: SetCarcass, *, by: Person, at: datetime) -> CarcassFate:
    """Keep what became of a carcass.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, BeforeDeath, CarcassUnsaid, CorrectedBefore
    """
    deed = "quarantine.set-carcass"
    death = death_for(by, command.death_id, deed=deed)
    columns = asdict(command) | {"note": command.note.strip()}
    if row := earlier(CarcassFate, command.id, columns):
        return row
    _require_standing(death, command.happened_at, at)
    if command.carcass not in Death.Carcass.values:
        raise CarcassUnsaid("Say what becomes of the carcass.")
    row = CarcassFate.objects.create(**columns, recorded_at=at, by=by)
    _record(deed, row, death, by=by, at=at)
    return row


def _require_standing(death: Death, happened_at: datetime, at: datetime) -> None:
    require_past(happened_at, at=at)
    require_standing(death)
    if happened_at < death.happened_at:
        raise BeforeDeath("They were found dead later than that: look at both times.")


def _require_said(command: LogNecropsy, death: Death) -> None:
    if not 0 < command.examined <= death.change.count:
        raise MoreThanDied(f"{death.change.count} died: write how many of them were opened.")
    if not command.performed_by.strip():
        raise PerformerMissing("Write who opened it.")
    if not command.gross.strip():
        raise GrossMissing("Write what was seen, or that nothing was.")
    if command.cause not in Cause.values:
        raise CauseUnsaid("Choose the cause, or say that it is still not known.")


def _record(kind: str, row: Fact, death: Death, *, by: Person, at: datetime) -> None:
    vessel = vessel_of(death)
    when = row.happened_at
    ledger.record(
        kind, [row], about=vessel, site=vessel.site, by=by, happened_at=when, recorded_at=at
    )
