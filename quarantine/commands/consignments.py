"""Consignments: announced, amended, given papers, closed."""

from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Person
from facility.refusals import NotFound, Refusal
from quarantine.commands.suppliers import country_code, require_in_trade
from quarantine.models import Consignment, Supplier
from quarantine.rules.papers import Fault, Paper, as_kept, faults
from tanks.commands.finding import site_for


class ReferenceMissing(Refusal):
    code = "reference-missing"
    field = "reference"


class ReferenceTaken(Refusal):
    code = "reference-taken"
    field = "reference"


class LeftAfterArrival(Refusal):
    code = "left-after-arrival"
    field = "departed_at"


class ConsignmentClosed(Refusal):
    code = "consignment-closed"
    field = "consignment_id"


class PaperUnfit(Refusal):
    """``field`` is the field of the paper that is missing or cannot be."""

    code = "paper-unfit"

    def __init__(self, found: list[Fault]) -> None:
        super().__init__(" ".join(one.sentence for one in found))
        self.field = found[0].field


@dataclass(frozen=True, slots=True, kw_only=True)
class AnnounceConsignment:
    """``departed_at`` is when the boxes were closed, which gives the hours on the way."""

    id: UUID
    site_id: UUID
    supplier_id: UUID
    reference: str
    origin_country: str = ""
    expected_at: datetime | None = None
    departed_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AmendConsignment:
    """What became known of it since it was announced."""

    consignment_id: UUID
    origin_country: str
    expected_at: datetime | None
    departed_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AddPaper:
    """One line of one paper that travels with it; a CITES line says all it must."""

    consignment_id: UUID
    kind: str
    number: str
    valid_until: date | None = None
    appendix: str = ""
    scientific_name: str = ""
    quantity: str = ""
    source_code: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseConsignment:
    """Every box was opened, or is known to be missing."""

    consignment_id: UUID


@transaction.atomic(durable=True)
def announce_consignment(command: AnnounceConsignment, *, by: Person, at: datetime) -> Consignment:
    """Expect boxes from a supplier.

    Raises:
        NotFound, NotAllowed, IdTaken, ReferenceMissing, NoCountry, LeftAfterArrival,
        SupplierRetired, ReferenceTaken
    """
    site = site_for(by, command.site_id, deed="quarantine.announce-consignment")
    columns = asdict(command) | {
        "reference": command.reference.strip(),
        "origin_country": country_code(command.origin_country),
    }
    told = {name: columns[name] for name in ("site_id", "supplier_id", "reference")}
    if consignment := earlier(Consignment, command.id, told):
        return consignment
    supplier = Supplier.objects.filter(site=site, pk=command.supplier_id).first()
    if supplier is None:
        raise NotFound("There is no such supplier on this site's list.")
    require_in_trade(supplier)
    if not columns["reference"]:
        raise ReferenceMissing("Write the number on the waybill or the invoice.")
    _require_order(command.departed_at, command.expected_at)
    if Consignment.objects.filter(
        site=site, supplier=supplier, reference__iexact=columns["reference"]
    ).exists():
        raise ReferenceTaken(f"{columns['reference']} of {supplier.name} is announced already.")
    consignment = Consignment.objects.create(**columns, announced_at=at)
    _record("quarantine.announce-consignment", consignment, by=by, at=at)
    return consignment


@transaction.atomic(durable=True)
def amend_consignment(command: AmendConsignment, *, by: Person, at: datetime) -> Consignment:
    """Put right where it comes from and when.

    Raises:
        NotFound, NotAllowed, NoCountry, LeftAfterArrival, ConsignmentClosed
    """
    consignment = consignment_for(by, command.consignment_id, deed="quarantine.amend-consignment")
    told: dict[str, Any] = {
        "origin_country": country_code(command.origin_country),
        "expected_at": command.expected_at,
        "departed_at": command.departed_at,
    }
    before = {name: getattr(consignment, name) for name in told}
    if before == told:
        return consignment
    require_open(consignment, at=at)
    _require_order(command.departed_at, command.expected_at)
    for name, value in told.items():
        setattr(consignment, name, value)
    consignment.save(update_fields=list(told))
    _record("quarantine.amend-consignment", consignment, by=by, at=at, before=before)
    return consignment


@transaction.atomic(durable=True)
def add_paper(command: AddPaper, *, by: Person, at: datetime) -> Consignment:
    """Keep a line of a paper, if it says what such a paper must say.

    Raises:
        NotFound, NotAllowed, PaperUnfit
    """
    consignment = consignment_for(by, command.consignment_id, deed="quarantine.add-paper")
    told = asdict(command)
    del told["consignment_id"]
    paper = Paper(**told)
    if found := faults(paper):
        raise PaperUnfit(found)
    kept = as_kept(paper)
    if kept in consignment.papers:
        return consignment
    consignment.papers = [*consignment.papers, kept]
    consignment.save(update_fields=["papers"])
    _record("quarantine.add-paper", consignment, by=by, at=at)
    return consignment


@transaction.atomic(durable=True)
def close_consignment(command: CloseConsignment, *, by: Person, at: datetime) -> Consignment:
    """Say that no more boxes will be opened.

    Raises:
        NotFound, NotAllowed
    """
    consignment = consignment_for(by, command.consignment_id, deed="quarantine.close-consignment")
    if consignment.closed_at is None:
        consignment.closed_at = at
        consignment.save(update_fields=["closed_at"])
        _record("quarantine.close-consignment", consignment, by=by, at=at)
    return consignment


def consignment_for(by: Person, consignment_id: UUID, *, deed: str) -> Consignment:
    """Return the consignment, with the turn taken at its site.

    Raises:
        NotFound, NotAllowed
    """
    known = Consignment.objects.open_to(by).select_related("site", "supplier")
    consignment: Consignment | None = known.filter(pk=consignment_id).first()
    if consignment is None:
        raise NotFound("There is no such consignment here.")
    site_for(by, consignment.site_id, deed=deed)
    consignment.refresh_from_db(
        fields=["papers", "origin_country", "expected_at", "departed_at", "closed_at"]
    )
    return consignment


def require_open(consignment: Consignment, *, at: datetime) -> None:
    """Refuse what befell it after it was closed; what waited on a phone still counts."""
    if consignment.closed_at is not None and at >= consignment.closed_at:
        raise ConsignmentClosed(
            f"{consignment.reference} was closed; announce what came later as another one."
        )


def _require_order(departed_at: datetime | None, expected_at: datetime | None) -> None:
    if departed_at and expected_at and departed_at >= expected_at:
        raise LeftAfterArrival("It left before it arrives: exchange the two times.")


def _record(kind: str, consignment: Consignment, *, by: Person, at: datetime, **more: Any) -> None:
    ledger.record(
        kind,
        [consignment],
        about=consignment,
        site=consignment.site,
        by=by,
        happened_at=at,
        recorded_at=at,
        **more,
    )
