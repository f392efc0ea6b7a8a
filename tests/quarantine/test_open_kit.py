"""A kit has a code people say and a label that leads to it."""

import pytest
from django.test import Client

from facility.refusals import IdTaken
from quarantine.commands.kits import (
    KitCodeMissing,
    KitCodeTaken,
    KitLabelUnfit,
    KitRetired,
    RetiredTooEarly,
    RetireKit,
    UnknownKit,
    open_kit,
    retire_kit,
)
from quarantine.queries.kits import kit_labelled, kits_at
from tests.cast import NOON, House
from tests.quarantine.equipment import HOUR, kit_of, net, used
from tests.tanks.estate import vessel_of

pytestmark = pytest.mark.django_db


def test_a_kit_is_put_into_use_with_a_label(house: House) -> None:
    command = kit_of(house)

    kit = open_kit(command, by=house.ana, at=NOON)

    assert (kit.code, kit.area, kit.labels.get().code) == ("N-03", house.area, command.label)
    assert open_kit(command, by=house.ana, at=NOON) == kit


def test_scanning_its_label_leads_to_the_kit(house: House, client: Client) -> None:
    kit = net(house)
    client.force_login(house.ana)

    answer = client.get(f"/t/{kit.labels.get().code}/")

    assert (answer.status_code, answer["Location"]) == (303, f"/kits/{kit.pk}/")


def test_a_stranger_is_not_told_where_a_label_leads(house: House) -> None:
    code = net(house).labels.get().code

    assert kit_labelled(code, house.bo) is None
    assert kit_labelled(code, None) is not None


def test_a_code_is_on_one_kit_only(house: House) -> None:
    net(house)

    with pytest.raises(KitCodeTaken, match="N-03 is on another kit"):
        open_kit(kit_of(house), by=house.ana, at=NOON)


def test_a_label_is_on_one_thing_only(house: House) -> None:
    tank = vessel_of(house)

    for label in (tank.labels.get().code, net(house).labels.get().code):
        with pytest.raises(KitLabelUnfit, match="used before"):
            open_kit(kit_of(house, code="N-04", label=label), by=house.ana, at=NOON)


def test_what_is_missing_is_named(house: House) -> None:
    for refusal, changes in (
        (UnknownKit, {"kind": "SPOON"}),
        (KitCodeMissing, {"code": " "}),
        (KitLabelUnfit, {"label": "ABCDEFG"}),
    ):
        with pytest.raises(refusal):
            open_kit(kit_of(house, **changes), by=house.ana, at=NOON)


def test_the_same_id_with_another_label_is_another_kit(house: House) -> None:
    command = kit_of(house)
    open_kit(command, by=house.ana, at=NOON)

    with pytest.raises(IdTaken):
        open_kit(kit_of(house, id=command.id), by=house.ana, at=NOON)


def test_a_kit_taken_out_of_use_is_used_no_more(house: House) -> None:
    kit, tank = net(house), vessel_of(house)

    gone = retire_kit(
        RetireKit(kit_id=kit.pk, happened_at=NOON + HOUR), by=house.ana, at=NOON + HOUR
    )

    assert gone.labels.get().retired_at == NOON + HOUR
    assert kits_at(house.site) == []
    with pytest.raises(KitRetired):
        used(house, gone, tank, at=NOON + 2 * HOUR)


def test_a_kit_is_not_taken_out_of_use_before_it_came(house: House) -> None:
    kit = net(house)

    with pytest.raises(RetiredTooEarly):
        retire_kit(RetireKit(kit_id=kit.pk, happened_at=NOON - HOUR), by=house.mo, at=NOON)
