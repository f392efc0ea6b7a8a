"""Seedings: a culture with its batch, or mature media with its origin."""

from dataclasses import replace
from datetime import date, timedelta
from uuid import uuid4

import pytest

from facility.models import Entry
from facility.refusals import NotFound, Refusal
from tanks.commands import seedings
from tanks.commands.products import ProductExpired, WrongSubstance
from tanks.commands.seedings import LogSeeding, log_seeding
from tanks.models import Product, Seeding, Vessel
from tests.cast import NOON, House
from tests.tanks.estate import vessel_of
from tests.tanks.shelf import shelved


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house)


@pytest.fixture
def culture(house: House) -> Product:
    return shelved(house, substance="CULTURE", form="SOLUTION")


def asked(vessel: Vessel, product: Product | None, **changed: object) -> LogSeeding:
    command = LogSeeding(
        id=uuid4(),
        vessel_id=vessel.pk,
        kind="CULTURE",
        product_id=product.pk if product else None,
        origin="",
        quantity="500 mL",
        happened_at=NOON,
    )
    return replace(command, **changed)  # type: ignore[arg-type]  # each test changes one column


def test_culture_is_kept_with_its_container(house: House, tank: Vessel, culture: Product) -> None:
    seeding = log_seeding(asked(tank, culture), by=house.ana, at=NOON)

    assert seeding.product == culture
    line = Entry.objects.get(kind="tanks.log-seeding")
    assert (line.about, line.by) == (f"tanks.vessel:{tank.pk}", house.ana)


def test_delivered_twice_is_seeded_once(house: House, tank: Vessel, culture: Product) -> None:
    command = asked(tank, culture)

    log_seeding(command, by=house.ana, at=NOON)
    log_seeding(command, by=house.ana, at=NOON)

    assert Seeding.objects.count() == 1
    assert Entry.objects.filter(kind="tanks.log-seeding").count() == 1


def test_media_is_kept_with_its_origin(house: House, tank: Vessel) -> None:
    command = asked(tank, None, kind="MATURE_MEDIA", origin="S-4, running since 2024")

    assert log_seeding(command, by=house.ana, at=NOON).origin == "S-4, running since 2024"


@pytest.mark.parametrize(
    ("changed", "refusal"),
    [
        ({"kind": "HOPE"}, seedings.UnknownSeed),
        ({"kind": "MATURE_MEDIA", "origin": " "}, seedings.OriginMissing),
        ({"product_id": None}, seedings.CultureMissing),
        ({"quantity": " "}, seedings.QuantityMissing),
        ({"product_id": uuid4()}, NotFound),
    ],
)
def test_seed_of_unknown_origin_is_refused(
    house: House,
    tank: Vessel,
    culture: Product,
    changed: dict[str, object],
    refusal: type[Refusal],
) -> None:
    with pytest.raises(refusal):
        log_seeding(asked(tank, culture, **changed), by=house.ana, at=NOON)
    assert not Seeding.objects.exists()


def test_salt_is_no_culture(house: House, tank: Vessel) -> None:
    with pytest.raises(WrongSubstance):
        log_seeding(asked(tank, shelved(house)), by=house.ana, at=NOON)


def test_mature_media_does_not_come_from_the_shelf(
    house: House, tank: Vessel, culture: Product
) -> None:
    command = asked(tank, culture, kind="MATURE_MEDIA", origin="S-4")

    with pytest.raises(WrongSubstance):
        log_seeding(command, by=house.ana, at=NOON)


def test_dead_culture_is_refused(house: House, tank: Vessel) -> None:
    culture = shelved(house, substance="CULTURE", form="SOLUTION", expires_on=date(2026, 3, 29))
    later = NOON + timedelta(days=1)

    with pytest.raises(ProductExpired):
        log_seeding(asked(tank, culture, happened_at=later), by=house.ana, at=later)


def test_stranger_finds_no_such_tank(house: House, tank: Vessel, culture: Product) -> None:
    with pytest.raises(NotFound):
        log_seeding(asked(tank, culture), by=house.bo, at=NOON)
