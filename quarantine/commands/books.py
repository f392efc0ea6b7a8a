"""Write in the book of animals: every command that changes a count does it here."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from facility.commands.deliveries import take_turn
from facility.models import Person, Site
from facility.queries import people
from facility.refusals import NotFound, Refusal
from facility.rules.wording import day_and_time
from quarantine.models import CountChange, Lot
from quarantine.queries.books import changes_of, posting
from quarantine.rules.books import Shortfall, shortfall, within
from tanks.models import Vessel

_FIRST_DIGITS: Final = 4


class CountsDoNotClose(Refusal):
    code = "counts-do-not-close"
    field = "count"


class NoneCounted(Refusal):
    code = "none-counted"
    field = "count"


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One line to write; see ``CountChange`` for which sides a kind has."""

    id: UUID
    kind: str
    count: int
    happened_at: datetime
    from_lot: Lot | None = None
    from_vessel: Vessel | None = None
    to_lot: Lot | None = None
    to_vessel: Vessel | None = None
    note: str = ""
    corrects: CountChange | None = None
    reason: str = ""
    withdrawn: bool = False


def enter(change: Change, *, by: Person, at: datetime) -> CountChange:
    """Write a line in the book, in the caller's transaction, with the site's turn taken.

    Raises:
        NoneCounted, CountsDoNotClose: at some moment more would have left than were there.
    """
    if change.count < 1:
        raise NoneCounted("Write how many animals, 1 or more.")
    row = CountChange(**_columns(change), recorded_at=at, by=by)
    _require_closing(row, change.corrects)
    row.save(force_insert=True)
    return row


def lot_for(by: Person, lot_id: UUID, *, deed: str) -> Lot:
    """Return the lot, with the turn taken at its site.

    Raises:
        NotFound, NotAllowed
    """
    known = Lot.objects.open_to(by).select_related("site", "species", "supplier", "consignment")
    lot = known.filter(pk=lot_id).first()
    if lot is None:
        raise NotFound("There is no such lot here.")
    people.require(by, deed, lot.site)
    take_turn(lot.site)
    return lot


def next_code(site: Site) -> str:
    """Return the next free lot code of the site, such as L-0042; the turn must be taken."""
    taken = Lot.objects.filter(site=site, code__regex=r"^L-[0-9]+$").values_list("code", flat=True)
    number = max((int(code.removeprefix("L-")) for code in taken), default=0) + 1
    return f"L-{number:0{_FIRST_DIGITS}d}"


def _columns(change: Change) -> dict[str, Any]:
    return {name: getattr(change, name) for name in Change.__dataclass_fields__}


def _require_closing(row: CountChange, corrects: CountChange | None) -> None:
    lots = _lots(row) | _lots(corrects)
    known = [one for one in changes_of(lots) if one != corrects]
    after = known if row.withdrawn else [*known, row]
    # Of other lots, which only gave or took, not everything was asked for.
    if short := shortfall(within(posting(one), lots) for one in after):
        raise CountsDoNotClose(_sentence(short))


def _lots(row: CountChange | None) -> set[UUID]:
    sides = (row.from_lot_id, row.to_lot_id) if row else ()
    return {pk for pk in sides if pk is not None}


def _sentence(short: Shortfall) -> str:
    lot = Lot.objects.select_related("site").get(pk=short.account.lot)
    vessel = Vessel.objects.get(pk=short.account.vessel)
    when = day_and_time(short.at, zone=lot.site.zone)
    return (
        f"By the book {vessel.code} held {short.held} of {lot.code} on {when}, so {short.wanted} "
        "cannot have left it. Count them; if the book is wrong, record a corrected count first."
    )
