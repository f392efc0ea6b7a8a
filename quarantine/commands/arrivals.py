"""Open the boxes of a consignment, one by one, by as many hands as there are."""

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any
from uuid import UUID, uuid5

from django.db import models, transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.models import Person
from facility.refusals import NotFound, Refusal
from facility.rules.wording import day_and_time
from quarantine.commands.books import Change, enter, next_code
from quarantine.commands.consignments import consignment_for, require_open
from quarantine.commands.protocols import protocol_at
from quarantine.models import Box, Consignment, CountChange, Lot, Species
from quarantine.rules.opening import Sampled, problem_of
from quarantine.rules.papers import paper_from
from tanks.commands.finding import require_in_use
from tanks.models import Vessel


class BoxUnnumbered(Refusal):
    code = "box-unnumbered"
    field = "number"


class BoxTaken(Refusal):
    code = "box-taken"
    field = "number"


class CountOffScale(Refusal):
    code = "count-off-scale"

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field = field


class TankMissing(Refusal):
    code = "tank-missing"
    field = "vessel_id"


class OtherLot(Refusal):
    code = "other-lot"
    field = "lot_id"


class SampleUnreadable(Refusal):
    code = "sample-unreadable"

    def __init__(self, sampled: Sampled) -> None:
        super().__init__(problem_of(sampled))
        self.field = sampled.parameter.lower()


@dataclass(frozen=True, slots=True, kw_only=True)
class ValueRead:
    """One value of the bag's water, as entered."""

    parameter: str
    text: str
    unit: str
    basis: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiveBox:
    """One box, or one ``bag`` of it; ``weak`` are among ``alive``.

    The animals join ``lot_id``; without it, the consignment's lot of that species, and where
    there is none, or ``is_new_lot``, a new one. Photos named may arrive later than the box.
    """

    id: UUID
    consignment_id: UUID
    number: str
    species_id: UUID
    invoiced: int
    alive: int
    dead_on_arrival: int
    happened_at: datetime
    bag: str = ""
    weak: int = 0
    vessel_id: UUID | None = None
    lot_id: UUID | None = None
    is_new_lot: bool = False
    protocol_id: UUID | None = None
    sample: tuple[ValueRead, ...] = ()
    photos: tuple[UUID, ...] = ()
    note: str = ""


@transaction.atomic(durable=True)
def receive_box(command: ReceiveBox, *, by: Person, at: datetime) -> Box:
    """Keep what the box held, and write the living and the dead into the book of their lot.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, ConsignmentClosed, BoxUnnumbered, BoxTaken,
        CountOffScale, SampleUnreadable, TankMissing, VesselRetired, OtherLot
    """
    consignment = consignment_for(by, command.consignment_id, deed="quarantine.receive-box")
    columns = _columns(command)
    if box := earlier(Box, command.id, columns):
        return box
    _require_counts(command)
    require_past(command.happened_at, at=at)
    require_open(consignment, at=command.happened_at)
    _require_free_number(consignment, columns)
    species = _species(consignment, command.species_id)
    vessel = _vessel(consignment, command)
    protocol_at(consignment.site, command.protocol_id)
    lot, made = _lot(consignment, species, command)
    box = Box.objects.create(**columns, lot=lot, recorded_at=at, by=by)
    changes = [enter(change, by=by, at=at) for change in _changes(command, lot, vessel)]
    record_box("quarantine.receive-box", box, [*made, *changes], at=at)
    return box


def change_id(box_id: UUID, kind: str) -> UUID:
    """The id of the line in the book that a box gave rise to."""
    return uuid5(box_id, kind)


def record_box(kind: str, box: Box, rows: list[models.Model], *, at: datetime) -> None:
    ledger.record(
        kind,
        [box, *rows],
        about=box.consignment,
        site=box.consignment.site,
        by=box.by,
        happened_at=box.happened_at,
        recorded_at=at,
    )


def require_counts(*, invoiced: int, alive: int, dead_on_arrival: int, weak: int) -> None:
    """Refuse counts that no box can have.

    Raises:
        CountOffScale
    """
    counts = {
        "invoiced": invoiced,
        "alive": alive,
        "dead_on_arrival": dead_on_arrival,
        "weak": weak,
    }
    for name, count in counts.items():
        if count < 0:
            raise CountOffScale(name, "Write 0 or more.")
    if weak > alive:
        raise CountOffScale("weak", f"Of {alive} alive no more than {alive} can be weak.")


def _columns(command: ReceiveBox) -> dict[str, Any]:
    told = asdict(command)
    for name in ("lot_id", "is_new_lot"):
        del told[name]
    texts = {name: told[name].strip() for name in ("number", "bag", "note")}
    lists = {"sample": [dict(one) for one in told["sample"]], "photos": list(command.photos)}
    return told | texts | lists


def _require_counts(command: ReceiveBox) -> None:
    if not command.number.strip():
        raise BoxUnnumbered("Write the number on the box, or count the boxes yourself.")
    require_counts(
        invoiced=command.invoiced,
        alive=command.alive,
        dead_on_arrival=command.dead_on_arrival,
        weak=command.weak,
    )
    for value in command.sample:
        sampled = Sampled(**asdict(value))
        if problem_of(sampled):
            raise SampleUnreadable(sampled)


def _require_free_number(consignment: Consignment, columns: dict[str, Any]) -> None:
    same = Box.objects.filter(consignment=consignment, number__iexact=columns["number"])
    box = same.filter(bag__iexact=columns["bag"], corrects=None).select_related("by").first()
    if box is not None:
        when = day_and_time(box.happened_at, zone=consignment.site.zone)
        raise BoxTaken(
            f"{box.by.full_name} opened box {box.number} on {when}. If this is another bag of it, "
            "name the bag; if it is the same one, it is recorded."
        )


def _species(consignment: Consignment, species_id: UUID) -> Species:
    species = Species.objects.filter(site=consignment.site, pk=species_id).first()
    if species is None:
        raise NotFound("There is no such species on this site's list.")
    return species


def _vessel(consignment: Consignment, command: ReceiveBox) -> Vessel | None:
    if command.vessel_id is None:
        if command.alive:
            raise TankMissing("Choose the tank that the living went into.")
        return None
    vessel = Vessel.objects.filter(site=consignment.site, pk=command.vessel_id).first()
    if vessel is None:
        raise NotFound("There is no such tank here.")
    require_in_use(vessel, at=command.happened_at)
    return vessel


def _lot(
    consignment: Consignment, species: Species, command: ReceiveBox
) -> tuple[Lot | None, list[models.Model]]:
    """The lot they belong to, and the rows made for it."""
    if not command.alive + command.dead_on_arrival:
        return None, []
    same = Lot.objects.filter(consignment=consignment, species=species)
    if command.lot_id is not None:
        lot = same.filter(pk=command.lot_id).first()
        if lot is None:
            raise OtherLot("Choose a lot of the same species and consignment, or a new one.")
        return lot, []
    lot = same.filter(made=Lot.Made.ARRIVED).order_by("-acquired_at", "-code").first()
    if lot is None or command.is_new_lot:
        lot = _new_lot(consignment, species, command)
        return lot, [lot]
    return lot, []


def _new_lot(consignment: Consignment, species: Species, command: ReceiveBox) -> Lot:
    return Lot.objects.create(
        id=uuid5(command.id, "lot"),
        site=consignment.site,
        code=next_code(consignment.site),
        species=species,
        supplier=consignment.supplier,
        consignment=consignment,
        acquired_at=command.happened_at,
        source_code=_source_code(consignment, species),
        made=Lot.Made.ARRIVED,
    )


def _source_code(consignment: Consignment, species: Species) -> str:
    """The letter on the paper of that species, where all its papers agree."""
    wanted = species.scientific_name.casefold()
    papers = [paper_from(told) for told in consignment.papers]
    found = {one.source_code for one in papers if one.scientific_name.casefold() == wanted}
    return found.pop() if len(found) == 1 else ""


def _changes(command: ReceiveBox, lot: Lot | None, vessel: Vessel | None) -> Iterator[Change]:
    told = (
        (CountChange.Kind.ARRIVED, command.alive, vessel),
        (CountChange.Kind.DEAD_ON_ARRIVAL, command.dead_on_arrival, None),
    )
    for kind, count, into in told:
        if count:
            yield Change(
                id=change_id(command.id, kind),
                kind=kind,
                count=count,
                happened_at=command.happened_at,
                to_lot=lot,
                to_vessel=into,
            )
