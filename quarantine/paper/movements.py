"""Movements of animals on paper: in, out and within."""

from typing import Final

from facility.sockets.paper import Table
from quarantine.models import CountChange
from quarantine.queries.records import Kept
from quarantine.rules.papers import KINDS
from tanks.paper.phrases import stamp

_IN: Final = frozenset({"ARRIVED", "BRED", "FOUND", "DEAD_ON_ARRIVAL"})
_OUT: Final = frozenset({"SOLD", "LEFT"})


def movement_table(known: Kept, *, way: str = "") -> Table:
    """Every line of the book that moved animals; ``way`` is In, Out or Within, empty for all."""
    columns = ("When", "Way", "Lot", "Animals", "Count", "From", "To", "Papers", "Recorded by")
    rows = tuple(
        _movement(row, known)
        for row in known.changes
        if row.happened_at >= known.since and _way(row) and way in ("", _way(row))
    )
    return Table(columns, rows, (1.2, 0.6, 0.7, 1.4, 0.5, 1.4, 1.3, 1.2, 1))


def _movement(row: CountChange, known: Kept) -> tuple[str, ...]:
    lot = row.to_lot or row.from_lot
    source = row.from_vessel.code if row.from_vessel else _origin(row)
    target = row.to_vessel.code if row.to_vessel else row.note or row.get_kind_display().lower()
    return (
        stamp(row.happened_at, known.site.zone),
        _way(row),
        str(lot),
        lot.species.scientific_name if lot else "",
        str(row.count),
        source,
        target,
        _papers(row),
        row.by.full_name,
    )


def _origin(row: CountChange) -> str:
    lot = row.to_lot
    supplier = lot.supplier if lot else None
    if supplier is None:
        return lot.get_made_display().lower() if lot else ""
    parts = (supplier.name, supplier.address, supplier.country, supplier.approval_number)
    return ", ".join(part for part in parts if part)


def _papers(row: CountChange) -> str:
    consignment = row.to_lot.consignment if row.to_lot else None
    if consignment is None:
        return ""
    papers = [
        f"{KINDS.get(one.get('kind', ''), '')} {one.get('number', '')}"
        for one in consignment.papers
    ]
    return "\n".join([consignment.reference, *(paper.strip() for paper in papers)])


def _way(row: CountChange) -> str:
    if row.kind in _IN:
        return "In"
    if row.kind in _OUT:
        return "Out"
    return "Within" if row.from_vessel_id and row.to_vessel_id else ""
