"""The dossier of a start-up: its whole history, composed for paper and for screen.

The same ledger lines give the same report: it tells the line it is as of, and no time of print.
"""

from dataclasses import replace

from facility.sockets.paper import Picture, Report, Section
from tanks.models import Cycle
from tanks.paper.charts import drawing_of, png
from tanks.paper.entries import entries
from tanks.paper.grounds import cover, policy, water
from tanks.paper.phrases import stamp
from tanks.paper.proof import certificates, challenges, ledger
from tanks.queries.dossiers import Record

_PRINTED_MM = 170.0
_CAPTION = (
    "Readings and acts over time. Open triangles pointing down: below detection, drawn at the "
    "limit; up: over range; bars: between two steps of a kit. The line at the right: the "
    "day of the ledger line this is as of."
)


def dossier(record: Record) -> Report:
    """Compose the whole report."""
    head = record.head
    zone = record.cycle.vessel.site.zone
    return Report(
        title="Start-up dossier",
        subject=f"{subject(record.cycle)} at {record.cycle.vessel.site.name}",
        digest=head.digest,
        issued=f"As of line {head.number} of the ledger, written {stamp(head.recorded_at, zone)}",
        sections=(
            cover(record),
            certificates(record),
            _chart(record),
            challenges(record),
            water(record),
            policy(record),
            *entries(record.told.story),
            *record.more,
            ledger(record),
        ),
    )


def subject(cycle: Cycle) -> str:
    """Name the start-up by its vessel and its first day."""
    begun = cycle.started_at.astimezone(cycle.vessel.site.zone)
    return f"{cycle.vessel.name or cycle.vessel.code}, begun {begun.date().isoformat()}"


def _chart(record: Record) -> Section:
    as_of = record.told.at.astimezone(record.cycle.vessel.site.zone).date()
    drawn = png(replace(drawing_of(record.told, None), now_word=as_of.isoformat()))
    width_px, height_px = _size_px(drawn)
    height_mm = _PRINTED_MM * height_px / width_px
    return Section("Chart", (Picture(drawn, _PRINTED_MM, height_mm, _CAPTION),))


def _size_px(image: bytes) -> tuple[int, int]:
    """Read width and height from a PNG's first chunk: W3C PNG specification, 11.2.1."""
    return int.from_bytes(image[16:20]), int.from_bytes(image[20:24])
