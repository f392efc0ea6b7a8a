"""Lots that came in no box: bred here, or here when the book was opened."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID, uuid5

from django.db import models, transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.models import Person, Site
from facility.refusals import NotFound, Refusal
from quarantine.commands.books import Change, enter, next_code
from quarantine.models import Lot, LotParent, Species, Supplier
from tanks.commands.finding import require_in_use, site_for
from tanks.models import Vessel


class UnknownMade(Refusal):
    code = "unknown-made"
    field = "made"


class UnknownSex(Refusal):
    code = "unknown-sex"
    field = "sex"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenLot:
    """Animals bred here, or here already when the book was opened; ``parents`` are their lots."""

    id: UUID
    site_id: UUID
    species_id: UUID
    vessel_id: UUID
    count: int
    made: str
    happened_at: datetime
    supplier_id: UUID | None = None
    parents: tuple[UUID, ...] = ()
    sex: str = "UNKNOWN"
    note: str = ""


@transaction.atomic(durable=True)
def open_lot(command: OpenLot, *, by: Person, at: datetime) -> Lot:
    """Begin the book of animals that came in no box.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, UnknownMade, UnknownSex, NoneCounted,
        VesselRetired
    """
    site = site_for(by, command.site_id, deed="quarantine.open-lot")
    told = {name: getattr(command, name) for name in ("site_id", "species_id", "made", "sex")}
    told |= {"supplier_id": command.supplier_id, "note": command.note.strip()}
    if lot := earlier(Lot, command.id, told | {"acquired_at": command.happened_at}):
        return lot
    require_past(command.happened_at, at=at)
    _require_words(command)
    vessel = vessel_at(site, command.vessel_id, at=command.happened_at)
    _require_named(site, command)
    parents = _parents(site, command.parents)
    code = next_code(site)
    lot = Lot.objects.create(id=command.id, code=code, acquired_at=command.happened_at, **told)
    rows = [lot, *kin_of(lot, parents)]
    change = enter(
        Change(
            id=uuid5(command.id, "opened"),
            kind=command.made,
            count=command.count,
            happened_at=command.happened_at,
            to_lot=lot,
            to_vessel=vessel,
        ),
        by=by,
        at=at,
    )
    record_lot("quarantine.open-lot", lot, [*rows, change], when=command.happened_at, by=by, at=at)
    return lot


def vessel_at(site: Site, vessel_id: UUID, *, at: datetime) -> Vessel:
    """Return a tank of the site that was in use.

    Raises:
        NotFound, VesselRetired
    """
    vessel = Vessel.objects.filter(site=site, pk=vessel_id).select_related("site").first()
    if vessel is None:
        raise NotFound("There is no such tank here.")
    require_in_use(vessel, at=at)
    return vessel


def record_lot(
    kind: str,
    lot: Lot,
    rows: Sequence[models.Model],
    *,
    when: datetime,
    by: Person,
    at: datetime,
) -> None:
    ledger.record(kind, rows, about=lot, site=lot.site, by=by, happened_at=when, recorded_at=at)


def require_sex(sex: str) -> None:
    if sex not in Lot.Sex.values:
        raise UnknownSex("Choose the sex, or not known.")


def kin_of(child: Lot, parents: Sequence[Lot]) -> list[LotParent]:
    rows = [
        LotParent(id=uuid5(child.pk, str(parent.pk)), child=child, parent=parent)
        for parent in parents
    ]
    return LotParent.objects.bulk_create(rows)


def _require_words(command: OpenLot) -> None:
    if command.made not in {Lot.Made.BRED, Lot.Made.FOUND}:
        raise UnknownMade("Choose bred here, or here when the book was opened.")
    require_sex(command.sex)


def _require_named(site: Site, command: OpenLot) -> None:
    if not Species.objects.filter(site=site, pk=command.species_id).exists():
        raise NotFound("There is no such species on this site's list.")
    supplier_id = command.supplier_id
    if supplier_id and not Supplier.objects.filter(site=site, pk=supplier_id).exists():
        raise NotFound("There is no such supplier on this site's list.")


def _parents(site: Site, ids: Sequence[UUID]) -> list[Lot]:
    found = list(Lot.objects.filter(site=site, pk__in=ids).order_by("code"))
    if len(found) < len(set(ids)):
        raise NotFound("One of the parents is no lot of this site.")
    return found
