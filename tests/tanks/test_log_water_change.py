"""Water changes are kept with the litres of the water they were taken from."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest

from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound
from tanks.commands.changes import (
    LitresOffScale,
    LogWaterChange,
    SourceOffScale,
    log_water_change,
)
from tanks.commands.litres import NotYetThere, VolumeUnknown
from tanks.models import Vessel, WaterChange
from tests.cast import NOON, House
from tests.tanks.estate import measured, opened, system_of, vessel_of


@pytest.fixture
def tank(house: House) -> Vessel:
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    return vessel


def asked(vessel: Vessel, **changes: object) -> LogWaterChange:
    command = LogWaterChange(
        id=uuid4(),
        vessel_id=vessel.pk,
        litres=Decimal(120),
        happened_at=NOON,
        source="Mixing vat",
        source_nitrate_mg_l_n=Decimal("2.26"),
    )
    return replace(command, **changes)  # type: ignore[arg-type]  # each test changes one column


def test_change_is_kept_with_the_water_it_was_part_of(house: House, tank: Vessel) -> None:
    system = system_of(house)
    measured(house, system, litres="1600")
    opened(house, tank, system)

    change = log_water_change(asked(tank), by=house.ana, at=NOON)

    assert (change.litres, change.water_litres) == (Decimal(120), Decimal(2000))
    line = Entry.objects.get(kind="tanks.log-water-change")
    assert (line.about, line.by) == (f"tanks.vessel:{tank.pk}", house.ana)


def test_delivered_twice_is_changed_once(house: House, tank: Vessel) -> None:
    command = asked(tank, litres=Decimal("33.333"))

    first = log_water_change(command, by=house.ana, at=NOON)
    again = log_water_change(command, by=house.ana, at=NOON)

    assert first == again
    assert WaterChange.objects.count() == 1
    assert Entry.objects.filter(kind="tanks.log-water-change").count() == 1


def test_same_id_with_other_litres_is_refused(house: House, tank: Vessel) -> None:
    command = asked(tank)
    log_water_change(command, by=house.ana, at=NOON)

    with pytest.raises(IdTaken):
        log_water_change(replace(command, litres=Decimal(121)), by=house.ana, at=NOON)


def test_stranger_finds_no_such_tank(house: House, tank: Vessel) -> None:
    with pytest.raises(NotFound):
        log_water_change(asked(tank), by=house.bo, at=NOON)


def test_veterinarian_changes_no_water(house: House, tank: Vessel) -> None:
    with pytest.raises(NotAllowed):
        log_water_change(asked(tank), by=house.vera, at=NOON)


@pytest.mark.parametrize("litres", ["0", "0.001", "400.01"])
def test_no_more_is_changed_than_there_is(house: House, tank: Vessel, litres: str) -> None:
    with pytest.raises(LitresOffScale, match="400 L"):
        log_water_change(asked(tank, litres=Decimal(litres)), by=house.ana, at=NOON)


def test_source_water_that_cannot_be_is_refused_by_its_column(house: House, tank: Vessel) -> None:
    with pytest.raises(SourceOffScale) as told:
        log_water_change(asked(tank, source_salinity_g_kg=Decimal(70)), by=house.ana, at=NOON)

    assert told.value.column == "source_salinity_g_kg"


def test_unmeasured_tank_is_named(house: House) -> None:
    vessel = vessel_of(house, code="B-02")

    with pytest.raises(VolumeUnknown, match="B-02"):
        log_water_change(asked(vessel), by=house.ana, at=NOON)


def test_change_before_the_tank_was_there_is_refused(house: House, tank: Vessel) -> None:
    with pytest.raises(NotYetThere):
        log_water_change(asked(tank, happened_at=NOON - timedelta(1)), by=house.ana, at=NOON)
