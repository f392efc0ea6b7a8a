"""Who opened the gate, on what grounds, and what came in: a section of the dossier."""

from collections.abc import Iterator
from datetime import datetime
from typing import Final
from uuid import UUID

from facility.sockets.paper import Block, Paragraph, Section, Signature, Table
from quarantine.models import Admission
from quarantine.queries.admissions import admissions_of
from tanks.paper.phrases import stamp

_STATES: Final = {"met": "met", "not-met": "not met", "unknown": "unknown"}


def admission(cycle_id: UUID, at: datetime) -> Section | None:
    """Return every admission with its requirements as they stood, or None before the first."""
    blocks = [block for row in admissions_of(cycle_id, at=at) for block in _blocks(row)]
    return Section("Gate and animals", tuple(blocks)) if blocks else None


def _blocks(row: Admission) -> Iterator[Block]:
    zone = row.vessel.site.zone
    yield Paragraph("May animals enter this water? Every requirement, as it stood when signed.")
    requirements = tuple(
        (each["title"], _STATES[each["state"]], each["sentence"]) for each in row.requirements
    )
    yield Table(("Requirement", "State", "Why"), requirements, (1.6, 0.6, 4))
    yield Signature(
        meaning=row.meaning, name=row.by.full_name, signed_at=stamp(row.happened_at, zone)
    )
    entered = tuple(
        (
            stamp(entry.happened_at, zone),
            str(entry.count),
            entry.what,
            f"{entry.by.full_name}, {stamp(entry.recorded_at, zone)}",
        )
        for entry in row.stockings.all()
        if not entry.withdrawn
    )
    yield Table(("Entered", "Animals", "What", "Recorded"), entered, (1.3, 0.7, 2.5, 1.8))
