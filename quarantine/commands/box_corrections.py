"""Put a box right that was counted or typed wrong: the first count stays to be read."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from django.db import models, transaction

from facility.commands.deliveries import earlier
from facility.models import Person
from facility.refusals import NotFound, Refusal
from quarantine.commands.arrivals import TankMissing, change_id, record_box, require_counts
from quarantine.commands.books import Change, enter
from quarantine.commands.consignments import consignment_for
from quarantine.models import Box, Consignment, CountChange

_SAME: Final = (
    "consignment_id",
    "number",
    "bag",
    "species_id",
    "lot_id",
    "vessel_id",
    "sample",
    "photos",
    "protocol_id",
    "note",
    "happened_at",
)


class CorrectedSince(Refusal):
    code = "corrected-since"
    field = "box_id"


class BoxReasonMissing(Refusal):
    code = "box-reason-missing"
    field = "reason"


class NoLotToCorrect(Refusal):
    code = "no-lot-to-correct"
    field = "alive"


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectBox:
    """What the box held after all; what is in the book follows."""

    id: UUID
    box_id: UUID
    invoiced: int
    alive: int
    dead_on_arrival: int
    weak: int
    reason: str


@transaction.atomic(durable=True)
def correct_box(command: CorrectBox, *, by: Person, at: datetime) -> Box:
    """Keep the corrected counts beside the first ones, in box and book.

    Raises:
        NotFound, NotAllowed, IdTaken, CountOffScale, BoxReasonMissing, CorrectedSince,
        TankMissing, NoLotToCorrect, CountsDoNotClose
    """
    old = _box_for(by, command.box_id)
    counts = _counts(command)
    told = {"corrects_id": old.pk, "reason": command.reason.strip(), **counts}
    if box := earlier(Box, command.id, told):
        return box
    _require_sound(command, old)
    box = Box.objects.create(
        id=command.id,
        **{name: getattr(old, name) for name in _SAME},
        **told,
        recorded_at=at,
        by=by,
    )
    rows = [enter(change, by=by, at=at) for change in _changes(box, old)]
    record_box("quarantine.correct-box", box, list[models.Model](rows), at=at)
    return box


def _box_for(by: Person, box_id: UUID) -> Box:
    known = Box.objects.filter(consignment__in=Consignment.objects.open_to(by))
    rows = known.select_related("consignment__site", "lot", "vessel")
    box: Box | None = rows.filter(pk=box_id).first()
    if box is None:
        raise NotFound("There is no such box here.")
    consignment_for(by, box.consignment_id, deed="quarantine.correct-box")
    return box


def _counts(command: CorrectBox) -> dict[str, int]:
    names = ("invoiced", "alive", "dead_on_arrival", "weak")
    return {name: getattr(command, name) for name in names}


def _require_sound(command: CorrectBox, old: Box) -> None:
    require_counts(**_counts(command))
    if not command.reason.strip():
        raise BoxReasonMissing("Write why the count is corrected, such as “counted again”.")
    if Box.objects.filter(corrects=old).exists():
        raise CorrectedSince("It was corrected since; open the page again.")
    if command.alive and old.vessel_id is None:
        raise TankMissing("No tank is on record for the living: record them as found in theirs.")
    if command.alive + command.dead_on_arrival and old.lot_id is None:
        raise NoLotToCorrect("The box was empty; record what it held as another bag of it.")


def _changes(box: Box, old: Box) -> Iterator[Change]:
    told = (
        (CountChange.Kind.ARRIVED, box.alive, old.alive, box.vessel),
        (CountChange.Kind.DEAD_ON_ARRIVAL, box.dead_on_arrival, old.dead_on_arrival, None),
    )
    for kind, count, before, into in told:
        if count != before:
            yield Change(
                **_how(box, kind, count=count, before=before),
                kind=kind,
                happened_at=box.happened_at,
                to_lot=box.lot,
                to_vessel=into,
            )


def _how(box: Box, kind: str, *, count: int, before: int) -> dict[str, Any]:
    """A first line of that kind, another count in its place, or its withdrawal."""
    if not before:
        return {"id": change_id(box.pk, kind), "count": count}
    standing = _standing(box, kind)
    how = {"id": change_id(box.pk, kind), "corrects": standing, "reason": box.reason}
    return how | ({"count": count} if count else {"count": before, "withdrawn": True})


def _standing(box: Box, kind: str) -> CountChange:
    """The line that now stands for the box, or for what it corrects, in the book."""
    ids = [change_id(one.pk, kind) for one in _chain(box)]
    row: CountChange = CountChange.objects.current().get(pk__in=ids)
    return row


def _chain(box: Box) -> Iterator[Box]:
    yield box
    if isinstance(box.corrects, Box):
        yield from _chain(box.corrects)
