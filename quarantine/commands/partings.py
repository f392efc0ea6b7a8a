"""Lots parted and joined: the counts go over, and what they came of stays listed."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID, uuid5

from django.db import transaction

from facility.commands.deliveries import earlier, require_past
from facility.models import Person
from facility.refusals import Refusal
from quarantine.commands.books import Change, enter, lot_for, next_code
from quarantine.commands.lots import kin_of, record_lot, require_sex, vessel_at
from quarantine.models import CountChange, Lot
from quarantine.queries.books import held_by
from quarantine.queries.selling import holds_of
from tanks.models import Vessel
from tanks.queries.waters import water_of


class OneLotOnly(Refusal):
    code = "one-lot-only"
    field = "lot_ids"


class NotOfOneKind(Refusal):
    code = "not-of-one-kind"
    field = "lot_ids"


class NotInOneWater(Refusal):
    code = "not-in-one-water"
    field = "lot_ids"


class LotOnHold(Refusal):
    code = "lot-on-hold"
    field = "lot_ids"


class LotEmpty(Refusal):
    code = "lot-empty"
    field = "lot_ids"


@dataclass(frozen=True, slots=True, kw_only=True)
class SplitLot:
    """Part of a lot in one vessel becomes a lot of its own there; ``id`` is the new lot's."""

    id: UUID
    lot_id: UUID
    vessel_id: UUID
    count: int
    happened_at: datetime
    sex: str = "UNKNOWN"
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MergeLots:
    """All that these lots hold becomes one lot, which lists them; ``id`` is the new lot's."""

    id: UUID
    lot_ids: tuple[UUID, ...]
    happened_at: datetime
    note: str = ""


@transaction.atomic(durable=True)
def split_lot(command: SplitLot, *, by: Person, at: datetime) -> Lot:
    """Part a lot: the new one keeps species, supplier, consignment and day of the old.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, UnknownSex, NoneCounted, CountsDoNotClose
    """
    parent = lot_for(by, command.lot_id, deed="quarantine.split-lot")
    told = {"sex": command.sex, "note": command.note.strip(), "made": Lot.Made.SPLIT}
    if lot := earlier(Lot, command.id, told | {"species_id": parent.species_id}):
        return lot
    require_past(command.happened_at, at=at)
    require_sex(command.sex)
    vessel = vessel_at(parent.site, command.vessel_id, at=command.happened_at)
    lot = _like([parent], id_=command.id, **told)
    change = enter(
        Change(
            id=uuid5(command.id, "split"),
            kind=CountChange.Kind.SPLIT,
            count=command.count,
            happened_at=command.happened_at,
            from_lot=parent,
            from_vessel=vessel,
            to_lot=lot,
            to_vessel=vessel,
        ),
        by=by,
        at=at,
    )
    rows = [lot, *kin_of(lot, [parent]), change]
    record_lot("quarantine.split-lot", lot, rows, when=command.happened_at, by=by, at=at)
    return lot


@transaction.atomic(durable=True)
def merge_lots(command: MergeLots, *, by: Person, at: datetime) -> Lot:
    """Make one lot of several that share a water; what it came of stays listed.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, OneLotOnly, NotOfOneKind, LotOnHold, LotEmpty,
        NotInOneWater, CountsDoNotClose
    """
    lots = [
        lot_for(by, lot_id, deed="quarantine.merge-lots") for lot_id in sorted(set(command.lot_ids))
    ]
    if len(lots) < 2:  # noqa: PLR2004  one alone is merged with nothing
        raise OneLotOnly("Choose two lots or more.")
    told = {"made": Lot.Made.MERGED, "note": command.note.strip()}
    if lot := earlier(Lot, command.id, told | {"species_id": lots[0].species_id}):
        return lot
    require_past(command.happened_at, at=at)
    _require_alike(lots, at=command.happened_at)
    holdings = _holdings(lots, at=command.happened_at)
    lot = _like(lots, id_=command.id, **told)
    changes = [
        enter(_merged(lot, one, vessel, count, command), by=by, at=at)
        for one, vessel, count in holdings
    ]
    rows = [lot, *kin_of(lot, lots), *changes]
    record_lot("quarantine.merge-lots", lot, rows, when=command.happened_at, by=by, at=at)
    return lot


def _like(parents: Sequence[Lot], *, id_: UUID, **told: Any) -> Lot:
    """A lot that keeps what its parents agree on; acquired with the last of them."""
    alike = ("supplier_id", "consignment_id", "sex", "source_code")
    kept = {name: {getattr(one, name) for one in parents} for name in alike}
    agreed = {name: values.pop() for name, values in kept.items() if len(values) == 1}
    site = parents[0].site
    return Lot.objects.create(
        id=id_,
        site=site,
        code=next_code(site),
        species=parents[0].species,
        acquired_at=max(one.acquired_at for one in parents),
        **(agreed | told),
    )


def _require_alike(lots: Sequence[Lot], *, at: datetime) -> None:
    if len({(lot.site_id, lot.species_id) for lot in lots}) > 1:
        raise NotOfOneKind("Only lots of one species at one site can be merged.")
    for lot in lots:
        if held := holds_of(lot, at=at):
            raise LotOnHold(f"{lot.code} is on hold: {held[0].why} Have it lifted first.")


def _holdings(lots: Sequence[Lot], *, at: datetime) -> list[tuple[Lot, Vessel, int]]:
    counts = {lot: held_by(lot, at=at) for lot in lots}
    for lot, held in counts.items():
        if not held:
            raise LotEmpty(f"{lot.code} held nothing by then; leave it out.")
    wanted = {pk for held in counts.values() for pk in held}
    vessels = Vessel.objects.select_related("site").in_bulk(wanted)
    one_water = water_of(next(iter(vessels.values())), at=at).member_ids
    if not wanted <= one_water:
        raise NotInOneWater(
            "They are in different waters: move them into one first, so that their stay is told "
            "together."
        )
    return [(lot, vessels[pk], count) for lot, held in counts.items() for pk, count in held.items()]


def _merged(lot: Lot, parent: Lot, vessel: Vessel, count: int, command: MergeLots) -> Change:
    return Change(
        id=uuid5(command.id, f"{parent.pk} {vessel.pk}"),
        kind=CountChange.Kind.MERGED,
        count=count,
        happened_at=command.happened_at,
        from_lot=parent,
        from_vessel=vessel,
        to_lot=lot,
        to_vessel=vessel,
    )
