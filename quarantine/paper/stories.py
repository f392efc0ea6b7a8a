"""Tables of a lot's story: boxes, tanks, looks, deaths, tests, holds, moves."""

from datetime import tzinfo

from facility.rules.wording import written
from facility.sockets.paper import Table
from quarantine.models import Death, Observation
from quarantine.models.observations import SIGNS
from quarantine.queries.packs import Story
from tanks.paper.phrases import entered, stamp


def boxes_table(story: Story, zone: tzinfo) -> Table:
    columns = ("Opened", "Box", "Invoiced", "Alive", "Dead", "Weak", "Into", "Entered")
    rows = tuple(
        (
            stamp(box.happened_at, zone),
            f"{box.number} {box.bag}".strip(),
            str(box.invoiced),
            str(box.alive),
            str(box.dead_on_arrival),
            str(box.weak),
            box.vessel.code if box.vessel else "",
            entered(box, zone),
        )
        for box in story.boxes
    )
    return Table(columns, rows, (1.3, 0.7, 0.7, 0.6, 0.6, 0.6, 0.8, 1.6))


def whereabouts(story: Story, zone: tzinfo) -> Table:
    rows = tuple(
        (
            story.codes.get(one.vessel, ""),
            stamp(one.start, zone),
            stamp(one.end, zone) if one.end else "still there",
        )
        for one in story.presences
    )
    return Table(("Tank", "From", "Until"), rows, (1, 1.4, 1.4))


def moves_table(story: Story, zone: tzinfo) -> Table:
    columns = ("Moved", "Count", "From", "To", "How", "Water carried", "Entered")
    rows = tuple(
        (
            stamp(move.happened_at, zone),
            str(move.change.count),
            str(move.change.from_vessel),
            str(move.change.to_vessel),
            ", ".join(part for part in (move.get_method_display(), move.acclimation) if part),
            f"{written(move.water_litres)} L",
            entered(move, zone),
        )
        for move in story.moves
    )
    return Table(columns, rows, (1.3, 0.6, 0.8, 0.8, 1.6, 0.8, 1.4))


def looks_table(story: Story, zone: tzinfo, *, most: int) -> Table:
    """The latest looks; earlier ones are counted in the note."""
    shown = story.looks[-most:]
    rows = tuple(
        (
            stamp(look.happened_at, zone),
            look.vessel.code,
            "" if look.seen_count is None else str(look.seen_count),
            look.get_feeding_display(),
            look.get_respiration_display(),
            _signs(look),
            look.by.full_name,
        )
        for look in shown
    )
    left = len(story.looks) - len(shown)
    note = f"{left} earlier looks are on record." if left else ""
    columns = ("When", "Tank", "Seen", "Feeding", "Respiration", "Signs", "By")
    return Table(columns, rows, (1.3, 0.7, 0.5, 1, 1, 1.8, 1), note=note)


def deaths_table(story: Story, zone: tzinfo) -> Table:
    rows = tuple(
        (
            stamp(death.happened_at, zone),
            str(death.change.from_vessel),
            f"{death.change.count} of {death.alive_before}",
            death.get_alive_known_display(),
            death.get_cause_display(),
            death.get_carcass_display(),
            _necropsies(death),
            death.by.full_name,
        )
        for death in story.deaths
    )
    columns = ("Found", "Tank", "Count", "Known by", "Cause", "Carcass", "Necropsy", "By")
    return Table(columns, rows, (1.2, 0.7, 0.7, 0.9, 0.9, 1, 1.4, 0.9))


def findings_table(story: Story, zone: tzinfo) -> Table:
    rows = tuple(
        (
            stamp(row.happened_at, zone),
            row.agent,
            row.method,
            str(row.sampled),
            "" if row.positive is None else str(row.positive),
            row.get_result_display(),
        )
        for row in story.findings
    )
    columns = ("Sampled", "Agent", "Method", "Number", "Positive", "Result")
    note = "Not found in a sample does not prove absence."
    return Table(columns, rows, (1.2, 1.4, 1.6, 0.6, 0.7, 1.4), note=note)


def holds_table(story: Story, zone: tzinfo) -> Table:
    rows = tuple(
        (
            str(hold.lot or f"water of {hold.vessel}"),
            f"{hold.get_kind_display()}: {hold.why}",
            f"{hold.by.full_name}\n{stamp(hold.happened_at, zone)}",
            f"{hold.lift.by.full_name}\n{stamp(hold.lift.happened_at, zone)}\n{hold.lift.why}"
            if hasattr(hold, "lift")
            else "not lifted",
        )
        for hold in story.holds
    )
    return Table(("Held", "Why", "By", "Lifted"), rows, (1, 2.2, 1.4, 1.8))


def _signs(look: Observation) -> str:
    told = [SIGNS.get(sign, sign).lower() for sign in look.signs]
    return ", ".join([*told, *([look.note] if look.note else [])]) or "none seen"


def _necropsies(death: Death) -> str:
    rows = [row for row in death.necropsies.all() if not row.withdrawn]
    return "\n".join(f"{row.get_cause_display()}: {row.gross}" for row in rows) or "none"
