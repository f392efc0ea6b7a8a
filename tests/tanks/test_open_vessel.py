"""Putting up tanks and systems. The rules are the house's own; no outside source applies."""

from dataclasses import replace
from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound
from tanks.commands import vessels
from tanks.commands.vessels import OpenVessel, open_vessel
from tanks.models import Label, Vessel
from tests.cast import NOON, House
from tests.tanks.estate import a_label, vessel_of


def asked(house: House, **changes: object) -> OpenVessel:
    command = OpenVessel(
        id=uuid4(),
        site_id=house.site.pk,
        area_id=house.area.pk,
        kind="TANK",
        code="A-07",
        name="Window tank",
        label=a_label(),
    )
    return replace(command, **changes)  # type: ignore[arg-type]  # each test changes one column


def test_manager_puts_up_a_tank_with_its_label(house: House) -> None:
    command = asked(house)

    vessel = open_vessel(command, by=house.mo, at=NOON)

    assert (vessel.code, vessel.kind, vessel.opened_at) == ("A-07", "TANK", NOON)
    assert Label.objects.get(vessel=vessel).code == command.label
    line = Entry.objects.get(kind="tanks.open-vessel")
    assert (line.about, line.by) == (f"tanks.vessel:{vessel.pk}", house.mo)
    assert [row["model"] for row in line.facts["rows"]] == ["tanks.vessel", "tanks.label"]


def test_tank_that_stood_before_penstock_keeps_its_own_beginning(house: House) -> None:
    since = NOON - timedelta(days=400)

    vessel = open_vessel(asked(house, happened_at=since), by=house.mo, at=NOON)

    assert vessel.opened_at == since


def test_delivered_twice_is_put_up_once(house: House) -> None:
    command = asked(house)

    first = open_vessel(command, by=house.mo, at=NOON)
    again = open_vessel(command, by=house.mo, at=NOON)

    assert first == again
    assert Vessel.objects.count() == 1
    assert Entry.objects.filter(kind="tanks.open-vessel").count() == 1


def test_same_id_with_another_code_is_refused(house: House) -> None:
    command = asked(house)
    open_vessel(command, by=house.mo, at=NOON)

    with pytest.raises(IdTaken):
        open_vessel(replace(command, code="A-08"), by=house.mo, at=NOON)


def test_code_is_taken_whatever_its_case(house: House) -> None:
    vessel_of(house, code="A-07")

    with pytest.raises(vessels.CodeTaken, match="A-07 is already a tank in Front room"):
        open_vessel(asked(house, code="a-07"), by=house.mo, at=NOON)


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"code": "  "}, vessels.CodeMissing),
        ({"code": "A" * 21}, vessels.CodeMissing),
        ({"kind": "POND"}, vessels.UnknownKind),
        ({"label": "AAAAAAA"}, vessels.LabelUnfit),
        ({"area_id": uuid4()}, NotFound),
    ],
)
def test_what_cannot_be_put_up_is_refused(
    house: House, changes: dict[str, object], refusal: type[Exception]
) -> None:
    with pytest.raises(refusal):
        open_vessel(asked(house, **changes), by=house.mo, at=NOON)
    assert not Vessel.objects.exists()


def test_label_is_never_used_again(house: House) -> None:
    command = asked(house)
    open_vessel(command, by=house.mo, at=NOON)

    with pytest.raises(vessels.LabelUnfit):
        open_vessel(asked(house, code="A-08", label=command.label), by=house.mo, at=NOON)


def test_stranger_finds_no_site_and_staff_may_not(house: House) -> None:
    with pytest.raises(NotFound):
        open_vessel(asked(house), by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        open_vessel(asked(house), by=house.ana, at=NOON)


def test_database_refuses_a_second_vessel_of_that_code(house: House) -> None:
    one = vessel_of(house, code="A-07")

    with pytest.raises(IntegrityError, match="tanks_vessel_code"), transaction.atomic():
        Vessel.objects.create(
            site=one.site, area=one.area, kind="TANK", code="A-07", opened_at=NOON
        )


def test_database_refuses_a_vessel_of_unknown_kind(house: House) -> None:
    with pytest.raises(IntegrityError, match="tanks_vessel_kind"), transaction.atomic():
        Vessel.objects.create(
            site=house.site, area=house.area, kind="POND", code="P", opened_at=NOON
        )
