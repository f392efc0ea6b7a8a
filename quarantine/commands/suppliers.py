"""Whom animals are bought from."""

from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Person
from facility.refusals import NotFound, Refusal
from quarantine.models import Supplier
from tanks.commands.finding import site_for

_COUNTRY: Final = 2


class SupplierNameMissing(Refusal):
    code = "supplier-name-missing"
    field = "name"


class SupplierKnown(Refusal):
    code = "supplier-known"
    field = "name"


class NoCountry(Refusal):
    code = "no-country"
    field = "country"


class SupplierRetired(Refusal):
    code = "supplier-retired"
    field = "supplier_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class AddSupplier:
    """``name`` in full, as the register asks; ``country`` in two letters of ISO 3166-1."""

    id: UUID
    site_id: UUID
    name: str
    address: str = ""
    country: str = ""
    approval_number: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RetireSupplier:
    supplier_id: UUID


@transaction.atomic(durable=True)
def add_supplier(command: AddSupplier, *, by: Person, at: datetime) -> Supplier:
    """Put a supplier on the site's list.

    Raises:
        NotFound, NotAllowed, IdTaken, SupplierNameMissing, NoCountry, SupplierKnown
    """
    site = site_for(by, command.site_id, deed="quarantine.add-supplier")
    columns = asdict(command) | {
        "name": command.name.strip(),
        "country": country_code(command.country),
    }
    if supplier := earlier(Supplier, command.id, columns):
        return supplier
    if not columns["name"]:
        raise SupplierNameMissing("Write the supplier's full name.")
    if Supplier.objects.filter(site=site, name__iexact=columns["name"]).exists():
        raise SupplierKnown(f"{columns['name']} is on the list already.")
    supplier = Supplier.objects.create(**columns, opened_at=at)
    _record("quarantine.add-supplier", supplier, by=by, at=at)
    return supplier


@transaction.atomic(durable=True)
def retire_supplier(command: RetireSupplier, *, by: Person, at: datetime) -> Supplier:
    """Offer a supplier no more; what came from them stays theirs.

    Raises:
        NotFound, NotAllowed
    """
    supplier = supplier_for(by, command.supplier_id, deed="quarantine.retire-supplier")
    if supplier.retired_at is None:
        supplier.retired_at = at
        supplier.save(update_fields=["retired_at"])
        _record("quarantine.retire-supplier", supplier, by=by, at=at)
    return supplier


def supplier_for(by: Person, supplier_id: UUID, *, deed: str) -> Supplier:
    """Return the supplier, with the turn taken at their site.

    Raises:
        NotFound, NotAllowed
    """
    known = Supplier.objects.open_to(by).select_related("site")
    supplier: Supplier | None = known.filter(pk=supplier_id).first()
    if supplier is None:
        raise NotFound("There is no such supplier on this site's list.")
    site_for(by, supplier.site_id, deed=deed)
    supplier.refresh_from_db(fields=["retired_at"])
    return supplier


def require_in_trade(supplier: Supplier) -> None:
    """Refuse to order from a supplier who was taken off the list."""
    if supplier.retired_at is not None:
        raise SupplierRetired(f"{supplier.name} was taken off the list; add them anew first.")


def country_code(text: str) -> str:
    """Return two capital letters, or nothing.

    Raises:
        NoCountry
    """
    code = text.strip().upper()
    if code and not (len(code) == _COUNTRY and code.isascii() and code.isalpha()):
        raise NoCountry("Write the country in two letters, such as PT or ID, or leave it empty.")
    return code


def _record(kind: str, supplier: Supplier, *, by: Person, at: datetime) -> None:
    ledger.record(
        kind,
        [supplier],
        about=supplier,
        site=supplier.site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
