"""The records a house owes, each as one report that page, PDF and CSV share."""

from collections.abc import Callable, Iterator
from typing import Final

from facility.sockets.paper import Block, Caution, Facts, Paragraph, Report, Section, Table
from quarantine.paper.examinations import biosecurity_table, necropsy_table, tests_table
from quarantine.paper.movements import movement_table
from quarantine.paper.register import register_table
from quarantine.paper.treatment import treatment_table
from quarantine.queries.records import Kept
from quarantine.rules.record_notes import (
    MOVEMENTS,
    QUARANTINE_SET,
    REGISTER,
    TITLES,
    TREATMENTS,
    Note,
    notes_elsewhere,
    notes_for,
)
from tanks.paper.phrases import stamp


def record(kind: str, known: Kept) -> Report:
    """Compose one of the records; the same ledger line gives the same report."""
    zone = known.site.zone
    span = f"{known.since.astimezone(zone):%d %b %Y} to {known.until.astimezone(zone):%d %b %Y}"
    return Report(
        title=TITLES[kind],
        subject=f"{known.site.name}, {span}",
        digest=known.head.digest,
        issued=(
            f"As of line {known.head.number} of the ledger, "
            f"written {stamp(known.head.recorded_at, zone)}"
        ),
        sections=(*_BODIES[kind](known), asked_for(kind, known.site.jurisdiction)),
    )


def main_table(report: Report) -> Table:
    """The table a spreadsheet gets: the first of the report."""
    blocks = (block for section in report.sections for block in section.blocks)
    return next(block for block in blocks if isinstance(block, Table))


def asked_for(kind: str, jurisdiction: str) -> Section:
    """What the record is asked for where the site is, and elsewhere."""
    here = [_note(one) for one in notes_for(kind, jurisdiction)]
    there = [_note(one) for one in notes_elsewhere(kind, jurisdiction)]
    blocks: list[Block] = [
        Table(("Where", "What is asked for", "Source"), tuple(here), (0.6, 3.4, 1.6))
        if here
        else Paragraph(f"No duty to keep this record is on file for {jurisdiction or 'here'}.")
    ]
    if there:
        blocks.append(Paragraph("Elsewhere; recommended, not required here:"))
        blocks.append(
            Table(("Where", "What is asked for", "Source"), tuple(there), (0.6, 3.4, 1.6))
        )
    blocks.append(Caution("Texts may be older than today's law; local law comes first."))
    return Section("What is asked for", tuple(blocks))


def _register(known: Kept) -> Iterator[Section]:
    yield Section("Register", (register_table(known),))


def _movements(known: Kept) -> Iterator[Section]:
    yield Section("Movements", (movement_table(known),))


def _treatments(known: Kept) -> Iterator[Section]:
    yield Section("Courses of treatment", (treatment_table(known.courses, known.site.zone),))


def _quarantine_set(known: Kept) -> Iterator[Section]:
    zone = known.site.zone
    yield Section("Movements in", (movement_table(known, way="In"),))
    yield Section("Movements out", (movement_table(known, way="Out"),))
    yield Section("Movements within", (movement_table(known, way="Within"),))
    yield Section(
        "Establishment and transporters",
        (
            Facts(
                (
                    ("Establishment", known.site.name),
                    ("Jurisdiction", known.site.jurisdiction or "not set"),
                    ("Approval number", "to be written in by hand"),
                    ("Instructions of the authority", "to be attached"),
                )
            ),
            Paragraph("Transporters stand with the papers of their consignment where written."),
        ),
    )
    yield Section("Tests and surveillance", (tests_table(known),))
    yield Section("Post-mortem examinations", (necropsy_table(known),))
    yield Section("Courses of treatment", (treatment_table(known.courses, zone),))
    yield Section("Evidence of biosecurity", (biosecurity_table(known),))


def _note(note: Note) -> tuple[str, str, str]:
    is_told = note.is_verified or "unverified" in note.source
    source = note.source if is_told else f"{note.source} (unverified)"
    return (note.jurisdiction, note.text, source)


_BODIES: Final[dict[str, Callable[[Kept], Iterator[Section]]]] = {
    REGISTER: _register,
    MOVEMENTS: _movements,
    TREATMENTS: _treatments,
    QUARANTINE_SET: _quarantine_set,
}
