"""One lot with its book, where it is, what it came of, and everything that befell its count."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from django.db.models import Q, QuerySet

from quarantine.models import Box, CountChange, Lot, LotLabel
from quarantine.queries.books import Book, Held, book, held_by
from quarantine.queries.selling import hindrances_to_sale
from tanks.models import Vessel

_WORDS: Final = {
    "ARRIVED": "{count} arrived alive, into {to}",
    "DEAD_ON_ARRIVAL": "{count} dead on arrival",
    "BRED": "{count} bred here, in {to}",
    "FOUND": "{count} here when the book was opened, in {to}",
    "DIED": "{count} died in {of}",
    "EUTHANISED": "{count} euthanised in {of}",
    "SOLD": "{count} sold out of {of}",
    "LEFT": "{count} left the site out of {of}",
    "MISSING": "{count} not found in {of}",
    "MOVED": "{count} moved from {of} to {to}",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One entry of the book in words; ``stands`` tells whether it still counts."""

    change: CountChange
    text: str
    stands: bool
    is_amendable: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LotStory:
    lot: Lot
    book: Book
    held: tuple[Held, ...]
    lines: tuple[Line, ...]
    parents: tuple[Lot, ...]
    children: tuple[Lot, ...]
    boxes: tuple[Box, ...]
    label: LotLabel | None
    hindrances: tuple[str, ...]


def story_of(lot: Lot, *, at: datetime) -> LotStory:
    """Everything about a lot as it stands at ``at``."""
    held = holdings(lot, at=at)
    told = [hindrances_to_sale(lot, one.vessel, at=at) for one in held]
    boxes = Box.objects.current().filter(lot=lot).select_related("consignment", "vessel", "by")
    return LotStory(
        lot=lot,
        book=book(lot),
        held=tuple(held),
        lines=tuple(_lines(lot)),
        parents=tuple(_kin(children__child=lot)),
        children=tuple(_kin(parents__parent=lot)),
        boxes=tuple(boxes.order_by("happened_at", "pk")),
        label=LotLabel.objects.filter(lot=lot, retired_at=None).first(),
        hindrances=tuple(dict.fromkeys(sentence for found in told for sentence in found)),
    )


def holdings(lot: Lot, *, at: datetime) -> list[Held]:
    """Where the lot is, tank by tank."""
    counts = held_by(lot, at=at)
    vessels = Vessel.objects.select_related("site", "area").in_bulk(counts)
    found = [Held(lot=lot, vessel=vessels[pk], count=count) for pk, count in counts.items()]
    return sorted(found, key=lambda one: one.vessel.code)


def _kin(**how: Lot) -> QuerySet[Lot]:
    return Lot.objects.filter(**how).select_related("species").order_by("code")


def _lines(lot: Lot) -> Iterator[Line]:
    """Newest first; what was put right since stays, and is marked."""
    rows = CountChange.objects.filter(Q(from_lot=lot) | Q(to_lot=lot))
    known = rows.select_related("from_lot", "to_lot", "from_vessel", "to_vessel", "by", "corrects")
    ids = {row.corrects_id for row in known}
    for row in known.order_by("-happened_at", "-recorded_at", "pk"):
        stands = row.pk not in ids and not row.withdrawn
        yield Line(
            change=row,
            text=_text(row, lot),
            stands=stands,
            is_amendable=stands and row.kind in {"SOLD", "LEFT", "MISSING"},
        )


def _text(row: CountChange, lot: Lot) -> str:
    if row.withdrawn:
        return f"Taken back: {row.reason}"
    if row.kind == CountChange.Kind.CORRECTED:
        way, vessel = ("up", row.to_vessel) if row.to_lot else ("down", row.from_vessel)
        return f"Count corrected {way} by {row.count} in {vessel}"
    if row.kind in {CountChange.Kind.SPLIT, CountChange.Kind.MERGED}:
        verb = "split off" if row.kind == CountChange.Kind.SPLIT else "merged"
        comes = row.to_lot == lot
        return f"{row.count} {verb} {f'from {row.from_lot}' if comes else f'into {row.to_lot}'}"
    words = _WORDS[row.kind]
    return words.format(count=row.count, of=row.from_vessel, to=row.to_vessel)
