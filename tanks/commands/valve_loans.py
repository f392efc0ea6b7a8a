"""Close a valve for a while: until when, why, and who opens it again."""

from dataclasses import asdict, dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.db.models import Q

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.commands.loose_ends import UnknownOwner as UnknownOwner
from facility.commands.loose_ends import require_owner
from facility.models import Person
from facility.refusals import Refusal
from tanks.commands.connections import connection_for, shut
from tanks.models import Connection, ValveLoan


class WhyMissing(Refusal):
    code = "why-missing"
    field = "why"


class ClosedWithoutReturn(Refusal):
    code = "closed-without-return"
    field = "due_back_at"


class OpenAgain(Refusal):
    code = "open-again"
    field = "connection_id"


class ClosedLater(Refusal):
    code = "closed-later"
    field = "happened_at"


@dataclass(frozen=True, slots=True, kw_only=True)
class LendValve:
    """Closes the valve at ``happened_at``; of one closed already it says until when from now on."""

    id: UUID
    connection_id: UUID
    why: str
    due_back_at: datetime
    owner_id: UUID
    happened_at: datetime


@transaction.atomic(durable=True)
def lend_valve(command: LendValve, *, by: Person, at: datetime) -> ValveLoan:
    """Close a valve as a loan; the latest loan of a closed valve is the one that holds.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, WhyMissing, ClosedWithoutReturn, UnknownOwner,
        ClosedBeforeOpened, ClosedLater, OpenAgain
    """
    connection = connection_for(by, command.connection_id, deed="tanks.lend-valve")
    if loan := earlier(ValveLoan, command.id, asdict(command)):
        return loan
    require_past(command.happened_at, at=at)
    _require_loan(command)
    require_owner(command.owner_id, connection.vessel.site)
    is_open = connection.period.upper is None
    if is_open:
        shut(connection, happened_at=command.happened_at)
    else:
        _require_still_closed(connection, command.happened_at)
    loan = ValveLoan.objects.create(**asdict(command), recorded_at=at, by=by)
    _record(loan, [connection, loan] if is_open else [loan], connection, by=by)
    return loan


def _require_loan(command: LendValve) -> None:
    if not command.why.strip():
        raise WhyMissing("Say in a few words why it is closed.")
    if command.due_back_at <= command.happened_at:
        raise ClosedWithoutReturn("It must be opened later than it was closed; give a later time.")


def _require_still_closed(connection: Connection, happened_at: datetime) -> None:
    vessel, until = connection.vessel, connection.period.upper
    if until is not None and happened_at < until:
        local = until.astimezone(vessel.site.zone)
        raise ClosedLater(f"This valve was closed on {local:%d %B %Y, %H:%M}; give a later time.")
    later = Connection.objects.filter(Q(period__startswith__gte=until), vessel=vessel)
    if later.exists():
        raise OpenAgain(f"{vessel.code} was opened to a system since; close that valve instead.")


def _record(
    loan: ValveLoan, rows: list[Connection | ValveLoan], connection: Connection, *, by: Person
) -> None:
    ledger.record(
        "tanks.lend-valve",
        rows,
        about=connection.vessel,
        site=connection.vessel.site,
        by=by,
        happened_at=loan.happened_at,
        recorded_at=loan.recorded_at,
    )
