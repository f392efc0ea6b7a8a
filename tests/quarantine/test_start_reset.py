"""A tank is reset when nothing else is in reach; its filter is unproven from then on."""

from datetime import timedelta
from decimal import Decimal

import pytest

from facility.models import Entry
from quarantine.commands.resets import (
    AnimalsInside,
    BathOffScale,
    ContactOffScale,
    NotAlone,
    ResetRunning,
    WhyMissing,
    start_reset,
)
from quarantine.queries.resets import reset_now, resets_at
from tanks.queries.cycles import course
from tanks.rules.certificates import Voided
from tests.cast import NOON, House
from tests.quarantine.equipment import HOUR, begun, lot_in, reset_of
from tests.quarantine.ready import AT, ready
from tests.tanks.estate import measured, opened, system_of, vessel_of

pytestmark = pytest.mark.django_db


def test_a_reset_begins_dirty_and_is_kept_once(house: House) -> None:
    command = reset_of(vessel_of(house))

    reset = start_reset(command, by=house.ana, at=NOON)

    assert start_reset(command, by=house.ana, at=NOON) == reset
    assert [one.reset for one in resets_at(house.site)] == [reset]
    assert resets_at(house.site)[0].standing.next_step == "CLEANED"


def test_what_its_filter_had_proven_is_void(house: House) -> None:
    """Disinfectant kills the filter too: a reset tank is not a proven tank."""
    told = ready(house)

    begun(house, told.vessel, at=AT)

    held = course(told.cycle, at=AT + HOUR).certificate
    assert held is not None
    assert isinstance(held.standing, Voided)
    rows = Entry.objects.latest("pk").facts["rows"]
    assert [row["model"] for row in rows] == ["tanks.incident", "quarantine.tankreset"]


def test_bleach_and_thiosulfate_are_weighed_for_the_litres_of_the_tank(house: House) -> None:
    """100 L at 200 mg/L are 20 g of Cl2: 7.0 mg of thiosulfate a mg make 140 g; 54 g/L bleach."""
    tank = vessel_of(house)
    measured(house, tank, litres="100")

    now = reset_now(begun(house, tank))

    assert now.thiosulfate_g == pytest.approx(140, rel=0.001)
    assert now.bleach_ml == pytest.approx(20 / 54 * 1000, rel=0.001)


def test_nothing_is_weighed_where_no_volume_is_known(house: House) -> None:
    now = reset_now(begun(house, vessel_of(house)))

    assert (now.thiosulfate_g, now.bleach_ml) == (None, None)


def test_it_is_shut_off_first(house: House) -> None:
    tank = vessel_of(house)
    opened(house, tank, system_of(house))

    with pytest.raises(NotAlone, match="shares its water with S-1"):
        begun(house, tank)


def test_animals_are_moved_out_first(house: House) -> None:
    tank = vessel_of(house)
    lot_in(house, tank, count=7)

    with pytest.raises(AnimalsInside, match="7 of L-0001"):
        begun(house, tank, at=NOON + HOUR)


def test_one_reset_at_a_time(house: House) -> None:
    tank = vessel_of(house)
    begun(house, tank)

    with pytest.raises(ResetRunning):
        begun(house, tank, at=NOON + timedelta(minutes=5))


def test_what_is_off_scale_is_named(house: House) -> None:
    tank = vessel_of(house)
    for refusal, changes in (
        (WhyMissing, {"why": " "}),
        (BathOffScale, {"chlorine_mg_l": Decimal(0)}),
        (BathOffScale, {"chlorine_mg_l": Decimal(5000)}),
        (ContactOffScale, {"contact_minutes": 0}),
    ):
        with pytest.raises(refusal):
            start_reset(reset_of(tank, **changes), by=house.ana, at=NOON)
