"""Containers on the shelf. The rules are the house's own; solubility of NH₄Cl: property tables."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound, Refusal
from tanks.commands import products
from tanks.commands.products import RetireProduct, ShelveProduct, retire_product, shelve_product
from tanks.models import Product
from tanks.queries.products import shelf, usable
from tests.cast import NOON, House
from tests.tanks.shelf import shelved


def asked(house: House, **changes: object) -> ShelveProduct:
    command = ShelveProduct(
        id=uuid4(),
        site_id=house.site.pk,
        name="Ammonium chloride, reagent",
        substance="AMMONIUM_CHLORIDE",
        form="SOLID",
        strength=Decimal("0.995"),
        batch="K-118",
        expires_on=date(2027, 12, 31),
    )
    return replace(command, **changes)  # type: ignore[arg-type]  # each test changes one column


def test_keeper_puts_a_container_on_the_shelf(house: House) -> None:
    command = asked(house)

    product = shelve_product(command, by=house.ana, at=NOON)

    assert list(shelf(house.site)) == [product]
    line = Entry.objects.get(kind="tanks.shelve-product")
    assert (line.about, line.by) == (f"facility.site:{house.site.pk}", house.ana)
    assert line.facts["rows"][0]["batch"] == "K-118"


def test_delivered_twice_stands_there_once(house: House) -> None:
    command = asked(house)

    first = shelve_product(command, by=house.ana, at=NOON)
    again = shelve_product(command, by=house.ana, at=NOON)

    assert first == again
    assert Entry.objects.filter(kind="tanks.shelve-product").count() == 1


def test_same_id_with_another_strength_is_refused(house: House) -> None:
    command = asked(house)
    shelve_product(command, by=house.ana, at=NOON)

    with pytest.raises(IdTaken):
        shelve_product(replace(command, strength=Decimal("0.5")), by=house.ana, at=NOON)


def test_stranger_finds_no_such_site(house: House) -> None:
    with pytest.raises(NotFound):
        shelve_product(asked(house), by=house.bo, at=NOON)


def test_auditor_may_look_but_not_stock_the_shelf(house: House) -> None:
    with pytest.raises(NotAllowed):
        shelve_product(asked(house), by=house.hale, at=NOON)


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"name": " "}, products.ProductNameMissing),
        ({"substance": "GOLD"}, products.UnknownSubstance),
        ({"form": "GAS"}, products.UnknownForm),
        ({"strength": Decimal("1.1")}, products.StrengthOffScale),
        ({"strength": Decimal(0)}, products.StrengthOffScale),
        ({"form": "SOLUTION", "strength": Decimal(300)}, products.StrengthOffScale),
        ({"substance": "SEA_SALT", "form": "SOLUTION"}, products.BrineOnShelf),
        ({"expires_on": date(2026, 3, 28)}, products.ProductExpired),
    ],
)
def test_contents_that_cannot_be_are_refused(
    house: House, changes: dict[str, object], refusal: type[Refusal]
) -> None:
    with pytest.raises(refusal):
        shelve_product(asked(house, **changes), by=house.ana, at=NOON)
    assert not Product.objects.exists()


def test_the_same_batch_stands_on_the_shelf_once(house: House) -> None:
    shelve_product(asked(house), by=house.ana, at=NOON)

    with pytest.raises(products.ProductNameTaken, match="K-118"):
        shelve_product(asked(house, id=uuid4()), by=house.ana, at=NOON)


def test_database_refuses_a_purity_above_one(house: House) -> None:
    product = shelved(house)

    with pytest.raises(IntegrityError), transaction.atomic():
        Product.objects.filter(pk=product.pk).update(strength=2)


def test_the_printed_day_is_the_last_good_one(house: House) -> None:
    product = shelved(house, expires_on=NOON.date())

    assert list(usable(house.site, ["AMMONIUM_CHLORIDE"], at=NOON)) == [product]
    tomorrow = NOON + timedelta(days=1)
    assert list(usable(house.site, ["AMMONIUM_CHLORIDE"], at=tomorrow)) == []


def test_retired_container_leaves_the_shelf_once(house: House) -> None:
    product = shelved(house)
    command = RetireProduct(product_id=product.pk, happened_at=NOON)

    retire_product(command, by=house.ana, at=NOON)
    retire_product(command, by=house.ana, at=NOON)

    assert list(shelf(house.site)) == []
    assert Entry.objects.filter(kind="tanks.retire-product").count() == 1


def test_retired_container_cannot_be_retired_at_another_time(house: House) -> None:
    product = shelved(house)
    retire_product(RetireProduct(product_id=product.pk, happened_at=NOON), by=house.ana, at=NOON)
    later = NOON + timedelta(hours=1)

    with pytest.raises(products.ProductRetired):
        retire_product(
            RetireProduct(product_id=product.pk, happened_at=later), by=house.ana, at=later
        )


def test_stranger_cannot_retire_it(house: House) -> None:
    product = shelved(house)

    with pytest.raises(NotFound):
        retire_product(RetireProduct(product_id=product.pk, happened_at=NOON), by=house.bo, at=NOON)
