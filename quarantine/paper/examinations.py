"""What was tested, opened and cleaned, on paper."""

from facility.sockets.paper import Table
from quarantine.queries.records import (
    Kept,
    breaks_at,
    cleanings_at,
    findings_at,
    necropsies_at,
    resets_in,
)
from tanks.paper.phrases import stamp


def tests_table(known: Kept) -> Table:
    """What was tested, how many, and what it showed: nothing proves absence."""
    zone = known.site.zone
    rows = tuple(
        (
            stamp(row.happened_at, zone),
            (row.lot.code if row.lot else "") or (row.vessel.code if row.vessel else ""),
            row.agent,
            row.method,
            str(row.sampled),
            "" if row.positive is None else str(row.positive),
            row.get_result_display(),
            row.laboratory,
        )
        for row in findings_at(known.site, known.since, known.until)
    )
    columns = ("Sampled", "Of", "Agent", "Method", "Number", "Positive", "Result", "Laboratory")
    note = "Not found in a sample does not prove absence."
    return Table(columns, rows, (1.2, 0.7, 1.2, 1.2, 0.6, 0.7, 1.3, 1.1), note=note)


def necropsy_table(known: Kept) -> Table:
    zone = known.site.zone
    rows = tuple(
        (
            stamp(row.happened_at, zone),
            str(row.death.change.from_lot),
            str(row.examined),
            row.gross,
            row.get_cause_display(),
            row.performed_by,
        )
        for row in necropsies_at(known.site, known.since, known.until)
    )
    columns = ("Opened", "Lot", "Examined", "What was seen", "Cause", "By")
    return Table(columns, rows, (1.2, 0.7, 0.6, 2.4, 1, 1))


def biosecurity_table(known: Kept) -> Table:
    """Cleanings, breaks between areas and resets, in order of time."""
    zone, period = known.site.zone, (known.site, known.since, known.until)
    rows = [
        (row.happened_at, row.kit.code, row.get_means_display(), row.by.full_name)
        for row in cleanings_at(*period)
    ]
    rows += [
        (
            row.happened_at,
            f"Area rank {row.from_rank} to {row.to_rank}",
            _hands(kit=row.kit_changed, hands=row.hands_disinfected),
            row.by.full_name,
        )
        for row in breaks_at(*period)
    ]
    rows += [
        (row.happened_at, row.vessel.code, f"Reset begun: {row.why}", row.by.full_name)
        for row in resets_in(*period)
    ]
    told = tuple((stamp(at, zone), *rest) for at, *rest in sorted(rows))
    return Table(("When", "What", "Done", "By"), told, (1.2, 1.4, 2.4, 1.2))


def _hands(*, kit: bool, hands: bool) -> str:
    done = [
        word for word, is_done in (("kit changed", kit), ("hands disinfected", hands)) if is_done
    ]
    return ", ".join(done).capitalize() or "Neither kit nor hands"
