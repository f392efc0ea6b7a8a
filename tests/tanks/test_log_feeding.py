"""Feedings, by weight as fed."""

from dataclasses import replace
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound, Refusal
from tanks.commands.changes import (
    GramsNotPositive,
    LogFeeding,
    ProteinOffScale,
    log_feeding,
)
from tanks.commands.litres import VolumeUnknown
from tanks.models import Feeding, Vessel
from tests.cast import NOON, House
from tests.tanks.estate import measured, vessel_of


@pytest.fixture
def tank(house: House) -> Vessel:
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    return vessel


def asked(vessel: Vessel, **changes: object) -> LogFeeding:
    command = LogFeeding(
        id=uuid4(),
        vessel_id=vessel.pk,
        grams=Decimal("4.5"),
        protein_share=Decimal("0.45"),
        happened_at=NOON,
    )
    return replace(command, **changes)  # type: ignore[arg-type]  # each test changes one column


def test_feed_is_kept_with_its_water(house: House, tank: Vessel) -> None:
    feeding = log_feeding(asked(tank), by=house.ana, at=NOON)

    assert (feeding.grams, feeding.water_litres) == (Decimal("4.5"), Decimal(400))
    line = Entry.objects.get(kind="tanks.log-feeding")
    assert (line.about, line.by) == (f"tanks.vessel:{tank.pk}", house.ana)


def test_delivered_twice_is_fed_once(house: House, tank: Vessel) -> None:
    command = asked(tank)

    first = log_feeding(command, by=house.ana, at=NOON)
    again = log_feeding(command, by=house.ana, at=NOON)

    assert first == again
    assert Entry.objects.filter(kind="tanks.log-feeding").count() == 1


def test_same_id_with_other_grams_is_refused(house: House, tank: Vessel) -> None:
    command = asked(tank)
    log_feeding(command, by=house.ana, at=NOON)

    with pytest.raises(IdTaken):
        log_feeding(replace(command, grams=Decimal(5)), by=house.ana, at=NOON)


def test_stranger_finds_no_such_tank(house: House, tank: Vessel) -> None:
    with pytest.raises(NotFound):
        log_feeding(asked(tank), by=house.bo, at=NOON)


def test_auditor_feeds_nothing(house: House, tank: Vessel) -> None:
    with pytest.raises(NotAllowed):
        log_feeding(asked(tank), by=house.hale, at=NOON)


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"grams": Decimal(0)}, GramsNotPositive),
        ({"protein_share": Decimal(0)}, ProteinOffScale),
        ({"protein_share": Decimal(45)}, ProteinOffScale),
    ],
)
def test_feed_that_cannot_be_is_refused(
    house: House, tank: Vessel, changes: dict[str, object], refusal: type[Refusal]
) -> None:
    with pytest.raises(refusal):
        log_feeding(asked(tank, **changes), by=house.ana, at=NOON)
    assert not Feeding.objects.exists()


def test_feed_for_an_unmeasured_water_is_refused(house: House) -> None:
    with pytest.raises(VolumeUnknown):
        log_feeding(asked(vessel_of(house)), by=house.ana, at=NOON)


def test_database_refuses_protein_above_all(house: House, tank: Vessel) -> None:
    feeding = log_feeding(asked(tank), by=house.ana, at=NOON)
    feeding.pk, feeding.protein_share = uuid4(), Decimal("1.5")

    with pytest.raises(IntegrityError), transaction.atomic():
        feeding.save(force_insert=True)
