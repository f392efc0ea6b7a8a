"""The release pack: a lot's whole story, and beside it the dossier of where it went."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import tzinfo
from typing import Final

from facility.sockets.paper import Block, Facts, Paragraph, Report, Section, Signature, Table
from quarantine.models import Release
from quarantine.paper.register import register_table
from quarantine.paper.stories import (
    boxes_table,
    deaths_table,
    findings_table,
    holds_table,
    looks_table,
    moves_table,
    whereabouts,
)
from quarantine.paper.treatment import treatment_table
from quarantine.queries.books import book
from quarantine.queries.packs import Story
from tanks.paper.dossier import dossier
from tanks.paper.phrases import stamp
from tanks.queries.dossiers import Record

_STATES: Final = {"met": "met", "not-met": "not met", "unknown": "unknown"}
_MOST_LOOKS: Final = 400


def pack(story: Story) -> Report:
    """Compose the whole report; the same ledger line gives the same one."""
    lot, head = story.lot, story.kept.head
    zone = lot.site.zone
    return Report(
        title="Release pack",
        subject=f"Lot {lot.code}, {lot.species.scientific_name}, at {lot.site.name}",
        digest=head.digest,
        issued=f"As of line {head.number} of the ledger, written {stamp(head.recorded_at, zone)}",
        sections=(
            _lot(story),
            Section("Releases", tuple(_releases(story, zone))),
            Section("Arrival, box by box", (boxes_table(story, zone),)),
            Section("Where it was", (whereabouts(story, zone),)),
            Section("Moves", (moves_table(story, zone),)),
            Section("Looks", (looks_table(story, zone, most=_MOST_LOOKS),)),
            Section("Deaths", (deaths_table(story, zone),)),
            Section("Tests", (findings_table(story, zone),)),
            Section("Treatment", tuple(_treatment(story, zone))),
            Section("Holds", (holds_table(story, zone),)),
            Section("What could have reached it", tuple(_reached(story, zone))),
            *(section for record in story.dossiers for section in _destination(record)),
        ),
    )


def _lot(story: Story) -> Section:
    lot = story.lot
    told = book(lot, at=story.kept.until)
    went = told.died + told.euthanised
    pairs = (
        ("Lot", lot.code),
        ("Species", lot.species.scientific_name),
        ("Common name", lot.species.vernacular_name or "none given"),
        ("Made", lot.get_made_display()),
        ("Consignment", str(lot.consignment or "none")),
        ("Came in alive", str(told.came)),
        ("Dead on arrival", str(told.dead_on_arrival)),
        ("Died or euthanised", str(went)),
        ("Sold", str(told.sold)),
        ("Left the site", str(told.left)),
        ("Not found", str(told.missing)),
        ("Split off or merged into others", str(told.other_out)),
        ("Counts corrected by", f"{told.corrected:+d}" if told.corrected else "0"),
        ("Remaining", str(told.remaining)),
        ("Counts close", "yes" if told.closes else "no"),
    )
    return Section("The lot", (Facts(pairs), *_upright(register_table(story.kept))))


def _treatment(story: Story, zone: tzinfo) -> Iterator[Block]:
    courses = story.kept.courses_of(story.lot)
    if not courses:
        yield Paragraph("None is on record.")
    yield from _upright(treatment_table(courses, zone))


def _upright(table: Table) -> Iterator[Block]:
    """A wide table for a narrow page: each row as labels with their values."""
    for row in table.rows:
        yield Facts(tuple(zip(table.columns, row, strict=True)))


def _releases(story: Story, zone: tzinfo) -> Iterator[Block]:
    if not story.releases:
        yield Paragraph("No release is signed yet.")
    for release in story.releases:
        yield Paragraph(
            f"{release.count} from {release.vessel.code} to {release.destination.code}, each "
            "requirement as it stood when signed. What was done is listed; nothing here says that "
            "animals carry no disease."
        )
        yield _requirements(release)
        yield Signature(
            meaning=release.meaning,
            name=release.by.full_name,
            signed_at=stamp(release.happened_at, zone),
        )


def _requirements(release: Release) -> Table:
    rows = tuple(
        (one["title"], _STATES.get(one["state"], one["state"]), one["sentence"])
        for one in release.requirements
    )
    return Table(("Requirement", "State", "Why"), rows, (1.6, 0.6, 4))


def _reached(story: Story, zone: tzinfo) -> Iterator[Block]:
    found = story.before
    if found is None or not found.stops:
        yield Paragraph("Nothing on record leads to it besides its own arrival.")
        return
    yield Paragraph(
        "Backward in time from its tanks since it came, by animals, open valves, kits used without "
        "cleaning, people between tanks without a break, and feed. What nobody "
        "recorded is not here."
    )
    rows = tuple(
        (
            f"{stop.place.what} {stop.place.name}",
            stamp(stop.at, zone),
            "\n".join(edge.evidence for edge in stop.way),
        )
        for stop in found.stops
        if stop.way
    )
    yield Table(("From", "Last moment that counts", "By"), rows, (1.4, 1.4, 3.2))


def _destination(record: Record) -> Iterator[Section]:
    """The dossier of the start-up that proved the destination, its sections named so."""
    code = record.cycle.vessel.code
    for section in dossier(record).sections:
        yield replace(section, title=f"Destination {code}: {section.title}")
