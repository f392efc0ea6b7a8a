"""How a parameter is measured: a kit with its steps, or the plain name of a means."""

from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest

from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound, Refusal
from tanks.commands.methods import (
    DefineMethod,
    MethodNameTaken,
    NoSuchMethod,
    NoSuchUnit,
    RangeUpsideDown,
    StepsOutOfOrder,
    define_method,
    generic,
)
from tanks.models import Method
from tests.cast import NOON, House

STEPS = (Decimal(0), Decimal("0.25"), Decimal(1))


def drops(house: House, **changes: Any) -> DefineMethod:
    told: dict[str, Any] = {
        "id": uuid4(),
        "site_id": house.site.pk,
        "name": "Nitrite drops",
        "kind": "COLOUR_KIT",
        "parameter": "NITRITE",
        "unit": "mg/L",
        "basis": "NO2",
        "steps": STEPS,
        "lowest": Decimal("0.25"),
    }
    return DefineMethod(**(told | changes))


def test_a_kit_reads_up_to_its_last_step(house: House) -> None:
    method = define_method(drops(house), by=house.ana, at=NOON)

    kept = Method.objects.get(pk=method.pk)
    assert (tuple(kept.steps), kept.highest, kept.basis) == (STEPS, Decimal(1), "NO2")
    assert Entry.objects.filter(kind="tanks.define-method").count() == 1


def test_delivered_twice_it_is_one_method(house: House) -> None:
    command = drops(house)

    for _ in range(2):
        define_method(command, by=house.ana, at=NOON)

    assert Method.objects.count() == 1
    with pytest.raises(IdTaken):
        define_method(drops(house, id=command.id, name="Other"), by=house.ana, at=NOON)


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"kind": "STRIP"}, NoSuchMethod),
        ({"parameter": "COPPER"}, NoSuchMethod),
        ({"basis": ""}, NoSuchUnit),
        ({"steps": (Decimal(1), Decimal("0.5"))}, StepsOutOfOrder),
        ({"steps": (Decimal(1), Decimal(1))}, StepsOutOfOrder),
        ({"kind": "PROBE"}, StepsOutOfOrder),
        ({"lowest": Decimal(2)}, RangeUpsideDown),
    ],
)
def test_what_makes_no_sense_is_refused(
    house: House, changes: dict[str, Any], refusal: type[Refusal]
) -> None:
    with pytest.raises(refusal):
        define_method(drops(house, **changes), by=house.ana, at=NOON)

    assert not Method.objects.exists()


def test_a_name_is_taken_once_for_each_parameter(house: House) -> None:
    define_method(drops(house), by=house.ana, at=NOON)

    with pytest.raises(MethodNameTaken):
        define_method(drops(house), by=house.ana, at=NOON)
    define_method(drops(house, parameter="NITRATE", basis="NO3"), by=house.ana, at=NOON)


def test_strangers_and_auditors(house: House) -> None:
    with pytest.raises(NotFound):
        define_method(drops(house), by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        define_method(drops(house), by=house.hale, at=NOON)


def test_a_plain_method_is_the_same_one_every_time(house: House) -> None:
    for person in (house.ana, house.mo):
        define_method(generic(house.site, "PH", "probe"), by=person, at=NOON)

    assert [(one.name, one.kind, one.unit) for one in Method.objects.all()] == [
        ("probe", "PROBE", "pH")
    ]
