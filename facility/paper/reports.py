"""A kept report as a document, on paper and on screen."""

from facility.models import KeptReport
from facility.rules.periods import period_of, spelled
from facility.rules.wording import day_and_time
from facility.sockets.paper import Report, Section, Table
from facility.sockets.reports import report_sources


def kept_report(report: KeptReport, *, part: str = "") -> Report:
    """Set out what was kept; ``part`` leaves out the rest."""
    source = report_sources[report.kind]
    by = report.by.full_name if report.by else "Penstock"
    made = day_and_time(report.made_at, zone=report.site.zone)
    parts = dict(source.parts(report.content))
    of = f", {parts[part]}" if part in parts else ""
    return Report(
        title=source.title,
        subject=f"{spelled(period_of(report.kind, report.begins_on))}, {report.site.name}{of}",
        digest=report.digest,
        issued=f"Kept {made} by {by}",
        digest_of="SHA-256 of what was kept:",
        sections=source.sections(report.content, part if part in parts else ""),
    )


def tables_of(sections: tuple[Section, ...]) -> list[tuple[str, Table]]:
    """Every table with the title of its section; a later one of the same section is numbered."""
    found: list[tuple[str, Table]] = []
    for section in sections:
        tables = [block for block in section.blocks if isinstance(block, Table)]
        for number, table in enumerate(tables, start=1):
            found.append((section.title if number == 1 else f"{section.title} {number}", table))
    return found
