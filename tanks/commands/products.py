"""Containers on the shelf: put one there, take one away."""

from dataclasses import asdict, dataclass
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from django.db import transaction

from chemistry.dosing import STOCK
from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.models import Person, Site
from facility.refusals import NotFound, Refusal
from tanks.commands.finding import site_for
from tanks.models import Product
from tanks.queries.products import is_expired


class ProductNameMissing(Refusal):
    code = "product-name-missing"
    field = "name"


class ProductNameTaken(Refusal):
    code = "product-name-taken"
    field = "name"


class UnknownSubstance(Refusal):
    code = "unknown-substance"
    field = "substance"


class UnknownForm(Refusal):
    code = "unknown-form"
    field = "form"


class StrengthOffScale(Refusal):
    code = "strength-off-scale"
    field = "strength"


class BrineOnShelf(Refusal):
    code = "brine-on-shelf"
    field = "form"


class ProductExpired(Refusal):
    code = "product-expired"
    field = "product_id"


class ProductRetired(Refusal):
    code = "product-retired"
    field = "product_id"


class WrongSubstance(Refusal):
    code = "wrong-substance"
    field = "product_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelveProduct:
    """``strength``: purity from 0 to 1 of a solid, grams of substance per litre of a solution.

    A culture has no strength that could be dosed by; give 1.
    """

    id: UUID
    site_id: UUID
    name: str
    substance: str
    form: str
    strength: Decimal
    batch: str = ""
    expires_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RetireProduct:
    """Empty, spoiled or mixed up: it is not to be used from ``happened_at`` on."""

    product_id: UUID
    happened_at: datetime


@transaction.atomic(durable=True)
def shelve_product(command: ShelveProduct, *, by: Person, at: datetime) -> Product:
    """Put a container on the site's shelf; another batch is another product.

    Raises:
        NotFound, NotAllowed, IdTaken, ProductNameMissing, UnknownSubstance, UnknownForm,
        StrengthOffScale, BrineOnShelf, ProductExpired, ProductNameTaken
    """
    site = site_for(by, command.site_id, deed="tanks.shelve-product")
    if product := earlier(Product, command.id, asdict(command)):
        return product
    _require_contents(command)
    _require_new(command, site, at=at)
    product = Product.objects.create(**asdict(command), opened_at=at)
    _record("tanks.shelve-product", product, by=by, happened_at=at, at=at)
    return product


@transaction.atomic(durable=True)
def retire_product(command: RetireProduct, *, by: Person, at: datetime) -> Product:
    """Take a container off the shelf for good.

    Raises:
        NotFound, NotAllowed, InTheFuture, ProductRetired
    """
    known = Product.objects.filter(site__in=Site.objects.open_to(by), pk=command.product_id)
    product = known.select_related("site").first()
    if product is None:
        raise NotFound("There is no such product here.")
    site_for(by, product.site_id, deed="tanks.retire-product")
    product.refresh_from_db(fields=["retired_at"])
    if product.retired_at == command.happened_at:
        return product
    require_past(command.happened_at, at=at)
    if product.retired_at is not None:
        raise ProductRetired(f"{product} was taken off the shelf before.")
    product.retired_at = command.happened_at
    product.save(update_fields=["retired_at"])
    _record("tanks.retire-product", product, by=by, happened_at=command.happened_at, at=at)
    return product


def product_for(site: Site, product_id: UUID, *, at: datetime) -> Product:
    """Return a container that may be used at that moment.

    Raises:
        NotFound, ProductRetired, ProductExpired
    """
    product = Product.objects.filter(site=site, pk=product_id).first()
    if product is None:
        raise NotFound("There is no such product on this site's shelf.")
    if product.retired_at is not None and product.retired_at <= at:
        raise ProductRetired(f"{product} was taken off the shelf; choose another container.")
    if is_expired(product, on=at.astimezone(site.zone).date()):
        day = f"{product.expires_on:%d %B %Y}"
        raise ProductExpired(f"{product} was good until {day}; choose a container in date.")
    return product


def _require_contents(command: ShelveProduct) -> None:
    if not command.name.strip():
        raise ProductNameMissing("Write the name as it stands on the container.")
    if command.substance not in Product.Substance.values:
        raise UnknownSubstance("Choose the substance that is in the container.")
    if command.form not in Product.Form.values:
        raise UnknownForm("Choose solid or solution.")
    if (command.substance, command.form) == ("SEA_SALT", "SOLUTION"):
        raise BrineOnShelf(
            "Brine changes the water's volume, so it is not dosed: "
            "record it as the source water of a water change."
        )
    _require_strength(command)


def _require_strength(command: ShelveProduct) -> None:
    strength = command.strength
    if command.form == Product.Form.SOLID and not 0 < strength <= 1:
        raise StrengthOffScale("Give a solid's purity above 0 and up to 100 %.")
    if command.form == Product.Form.SOLUTION and float(strength) not in STOCK:
        raise StrengthOffScale(
            f"Give a solution's strength from {STOCK.low:g} to {STOCK.high:g} g/L: "
            "more does not stay dissolved in a cold room."
        )


def _require_new(command: ShelveProduct, site: Site, *, at: datetime) -> None:
    if command.expires_on and command.expires_on < at.astimezone(site.zone).date():
        raise ProductExpired("It is out of date already; do not put it on the shelf.")
    if Product.objects.filter(site=site, name=command.name, batch=command.batch).exists():
        batch = f" with batch {command.batch}" if command.batch else " without a batch"
        raise ProductNameTaken(
            f"{command.name}{batch} is on the shelf; give the new container's own batch."
        )


def _record(
    kind: str, product: Product, *, by: Person, happened_at: datetime, at: datetime
) -> None:
    ledger.record(
        kind,
        [product],
        about=product.site,
        site=product.site,
        by=by,
        happened_at=happened_at,
        recorded_at=at,
    )
