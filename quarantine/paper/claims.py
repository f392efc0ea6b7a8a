"""The claim file of a consignment: counts, times, photos and papers on one document."""

from collections.abc import Iterator
from datetime import tzinfo
from typing import Final

from facility.models import Entry, Photo
from facility.rules.wording import written
from facility.sockets.paper import (
    Block,
    Facts,
    Paragraph,
    Picture,
    Report,
    Section,
    Signature,
    Table,
)
from quarantine.queries.consignments import Arrival, Opened
from quarantine.rules.papers import KINDS
from quarantine.rules.tallies import Tally
from tanks.paper.phrases import stamp
from tanks.rules.values import PARAMETERS

_PHOTO_MM: Final = 84.0
_BOXES: Final = ("Box", "Species", "Invoiced", "Alive", "DOA", "Weak", "Gap", "Opened", "By")
_WIDTHS: Final = (0.7, 2.6, 0.9, 0.7, 0.6, 0.7, 0.8, 1.5, 1.3)


def claim(arrival: Arrival, *, head: Entry, pictures: dict[str, bytes]) -> Report:
    """Compose it; ``pictures`` holds the photos' bytes by their id."""
    consignment = arrival.consignment
    zone = consignment.site.zone
    sections = (
        Section("Consignment", tuple(_cover(arrival, zone))),
        Section("Sums", tuple(_sums(arrival))),
        Section("Boxes", tuple(_boxes(arrival, zone))),
        Section("Photos", tuple(_photos(arrival, zone, pictures))),
        Section("Signature", (Signature("The counts are as found when the boxes were opened."),)),
    )
    return Report(
        title="Claim file",
        subject=f"{consignment.reference} of {consignment.supplier.name}",
        digest=head.digest,
        issued=f"As of line {head.number} of the ledger, written {stamp(head.recorded_at, zone)}",
        sections=tuple(section for section in sections if section.blocks),
    )


def _cover(arrival: Arrival, zone: tzinfo) -> Iterator[Block]:
    consignment, supplier = arrival.consignment, arrival.consignment.supplier
    hours = arrival.transit_hours
    opened = [one.box.happened_at for one in arrival.boxes]
    pairs = (
        ("Supplier", _joined(supplier.name, supplier.address, supplier.country)),
        ("Approval number", supplier.approval_number),
        ("Waybill or invoice", consignment.reference),
        ("Received by", consignment.site.name),
        ("Country of origin", consignment.origin_country),
        ("Boxes closed", stamp(consignment.departed_at, zone)),
        ("First box opened", stamp(min(opened, default=None), zone)),
        ("Last box opened", stamp(max(opened, default=None), zone)),
        ("Hours until the first was opened", f"{hours:.1f} h" if hours is not None else ""),
    )
    yield Facts(tuple((label, value or "not on record") for label, value in pairs))
    if arrival.papers:
        rows = tuple(
            (
                KINDS[one.kind],
                one.number,
                one.valid_until.isoformat() if one.valid_until else "",
                _joined(one.scientific_name, one.quantity),
                _joined(one.appendix and f"Appendix {one.appendix}", one.source_code),
            )
            for one, _ in arrival.papers
        )
        columns = ("Paper", "Number", "Valid until", "Of", "CITES")
        yield Table(columns, rows, (1.8, 1.3, 1.1, 2.4, 1.2))
    else:
        yield Paragraph("No papers of it are on record.")


def _sums(arrival: Arrival) -> Iterator[Block]:
    rows = [(species.scientific_name, *_figures(told)) for species, told in arrival.species]
    columns = ("Species", "Invoiced", "Alive", "DOA", "Weak", "Short", "Over", "DOA of what came")
    yield Table(
        columns,
        (*rows, ("All boxes", *_figures(arrival.tally))),
        (2.6, 0.9, 0.7, 0.6, 0.7, 0.7, 0.7, 1.2),
        note="Short: on the invoice and in no box. Weak animals are among the living.",
    )


def _boxes(arrival: Arrival, zone: tzinfo) -> Iterator[Block]:
    rows = tuple(_box_row(one, zone) for one in arrival.boxes)
    yield Table(_BOXES, rows, _WIDTHS, note="Gap: − fewer, + more than invoiced.")
    sampled = [one for one in arrival.boxes if one.box.sample]
    if sampled:
        waters = tuple((_named(one), _water(one)) for one in sampled)
        yield Table(("Box", "Water of the bag when opened"), waters, (1, 5))
    for one in arrival.boxes:
        if one.first is not None:
            yield Paragraph(_corrected(one, zone))


def _box_row(one: Opened, zone: tzinfo) -> tuple[str, ...]:
    box = one.box
    return (
        _named(one),
        box.species.scientific_name,
        str(box.invoiced),
        str(box.alive),
        str(box.dead_on_arrival),
        str(box.weak),
        f"{-one.gap:+d}".replace("-", "−") if one.gap else "0",
        stamp(box.happened_at, zone),
        box.by.full_name,
    )


def _corrected(one: Opened, zone: tzinfo) -> str:
    first, box = one.first, one.box
    assert first is not None  # noqa: S101  asked for corrected boxes only
    return (
        f"Box {_named(one)} was corrected {stamp(box.recorded_at, zone)} by {box.by.full_name}: "
        f"{box.reason}. First written: invoiced {first.invoiced}, alive {first.alive}, "
        f"DOA {first.dead_on_arrival}, weak {first.weak}."
    )


def _photos(arrival: Arrival, zone: tzinfo, pictures: dict[str, bytes]) -> Iterator[Block]:
    for one in arrival.boxes:
        for photo in one.photos:
            if jpeg := pictures.get(str(photo.pk)):
                yield _picture(one, photo, jpeg, zone)


def _picture(one: Opened, photo: Photo, jpeg: bytes, zone: tzinfo) -> Picture:
    height_mm = _PHOTO_MM * photo.height_px / photo.width_px
    caption = (
        f"Box {_named(one)}, {one.box.species.scientific_name}, {stamp(photo.happened_at, zone)}, "
        f"taken by {photo.by.full_name}. SHA-256 {photo.sha256}"
    )
    return Picture(jpeg, _PHOTO_MM, height_mm, caption)


def _figures(told: Tally) -> tuple[str, ...]:
    percent = told.dead_percent
    counts = (told.invoiced, told.alive, told.dead_on_arrival, told.weak, told.short, told.over)
    return (*map(str, counts), f"{written(round(percent, 1))} %" if percent is not None else "–")


def _named(one: Opened) -> str:
    return _joined(one.box.number, one.box.bag)


def _water(one: Opened) -> str:
    return "; ".join(f"{PARAMETERS[told.parameter]} {told.spelled}" for told in one.sample)


def _joined(*parts: str) -> str:
    return ", ".join(part for part in parts if part)
