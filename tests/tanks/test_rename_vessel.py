"""Renaming a tank. The rules are the house's own; no outside source applies."""

import pytest

from facility.models import Entry
from facility.refusals import NotAllowed, NotFound
from tanks.commands import vessels
from tanks.commands.vessels import RenameVessel, rename_vessel
from tanks.models import Label
from tests.cast import NOON, House
from tests.tanks.estate import vessel_of


def test_renamed_tank_keeps_its_label_and_the_ledger_both_names(house: House) -> None:
    tank = vessel_of(house, code="A-01")
    label = Label.objects.get(vessel=tank)

    renamed = rename_vessel(
        RenameVessel(vessel_id=tank.pk, code="W-01", name="Window"), by=house.mo, at=NOON
    )

    assert (renamed.code, renamed.name) == ("W-01", "Window")
    assert Label.objects.get(vessel=tank) == label
    facts = Entry.objects.get(kind="tanks.rename-vessel").facts
    assert facts["before"] == {"code": "A-01", "name": ""}
    assert facts["rows"][0]["code"] == "W-01"


def test_delivered_twice_is_renamed_once(house: House) -> None:
    command = RenameVessel(vessel_id=vessel_of(house).pk, code="W-01", name="")

    rename_vessel(command, by=house.mo, at=NOON)
    rename_vessel(command, by=house.mo, at=NOON)

    assert Entry.objects.filter(kind="tanks.rename-vessel").count() == 1


def test_change_of_capitals_is_no_clash_with_itself(house: House) -> None:
    tank = vessel_of(house, code="a-01")

    renamed = rename_vessel(
        RenameVessel(vessel_id=tank.pk, code="A-01", name=""), by=house.mo, at=NOON
    )

    assert renamed.code == "A-01"


@pytest.mark.parametrize(
    ("code", "refusal"), [("A-02", vessels.CodeTaken), (" ", vessels.CodeMissing)]
)
def test_code_must_be_given_and_free(house: House, code: str, refusal: type[Exception]) -> None:
    tank = vessel_of(house, code="A-01")
    vessel_of(house, code="A-02")

    with pytest.raises(refusal):
        rename_vessel(RenameVessel(vessel_id=tank.pk, code=code, name=""), by=house.mo, at=NOON)


def test_stranger_finds_no_tank_and_staff_may_not(house: House) -> None:
    command = RenameVessel(vessel_id=vessel_of(house).pk, code="W-01", name="")

    with pytest.raises(NotFound):
        rename_vessel(command, by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        rename_vessel(command, by=house.ana, at=NOON)
