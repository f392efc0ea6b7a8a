"""Making a new label. The rules are the house's own; no outside source applies."""

import pytest

from facility.models import Entry
from facility.refusals import NotAllowed, NotFound
from tanks.commands import vessels
from tanks.commands.vessels import Relabel, relabel
from tanks.models import Label
from tests.cast import NOON, House
from tests.tanks.estate import a_label, vessel_of


def test_new_label_takes_the_place_of_the_old_one(house: House) -> None:
    tank = vessel_of(house)
    old = Label.objects.get(vessel=tank)

    new = relabel(Relabel(vessel_id=tank.pk, label=a_label()), by=house.ana, at=NOON)

    old.refresh_from_db()
    assert (old.retired_at, new.retired_at) == (NOON, None)
    assert Entry.objects.get(kind="tanks.relabel").facts["retired"] == [old.code]


def test_delivered_twice_is_one_label(house: House) -> None:
    command = Relabel(vessel_id=vessel_of(house).pk, label=a_label())

    first = relabel(command, by=house.mo, at=NOON)
    again = relabel(command, by=house.mo, at=NOON)

    assert first == again
    assert Label.objects.filter(retired_at=None).count() == 1
    assert Entry.objects.filter(kind="tanks.relabel").count() == 1


def test_label_of_another_tank_or_a_retired_one_is_refused(house: House) -> None:
    tank, other = vessel_of(house), vessel_of(house, code="A-02")
    theirs = Label.objects.get(vessel=other).code
    ours = Label.objects.get(vessel=tank).code
    relabel(Relabel(vessel_id=tank.pk, label=a_label()), by=house.mo, at=NOON)

    for used in (theirs, ours):
        with pytest.raises(vessels.LabelUnfit, match="used before"):
            relabel(Relabel(vessel_id=tank.pk, label=used), by=house.mo, at=NOON)


def test_label_with_a_slip_is_refused(house: House) -> None:
    with pytest.raises(vessels.LabelUnfit, match="not a label code of ours"):
        relabel(Relabel(vessel_id=vessel_of(house).pk, label="2345678"), by=house.mo, at=NOON)


def test_stranger_finds_no_tank_and_auditor_may_not(house: House) -> None:
    command = Relabel(vessel_id=vessel_of(house).pk, label=a_label())

    with pytest.raises(NotFound):
        relabel(command, by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        relabel(command, by=house.hale, at=NOON)
