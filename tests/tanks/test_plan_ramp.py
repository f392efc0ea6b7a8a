"""Ramps of a start-up: planned from readings, done by readings."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest

from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound, Refusal
from tanks.commands import ramps
from tanks.commands.allowing import WaterStocked
from tanks.commands.cycles import CycleEnded, EndCycle, end_cycle
from tanks.commands.ramps import PlanRamp, plan_ramp
from tanks.models import Cycle, Ramp
from tanks.queries.ramps import progress_of, ramps_in_force
from tanks.sockets.stocking import StockingSource, stocking_sources
from tests.cast import NOON, House
from tests.tanks.estate import measured, vessel_of
from tests.tanks.samples import kit, logged
from tests.tanks.shelf import shelved, started

TODAY = date(2026, 3, 29)


@pytest.fixture
def cycle(house: House) -> Cycle:
    """Marine, begun at 28 °C and 19 g/kg, to be stocked at 25 °C and 35 g/kg; 400 L."""
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    return started(house, vessel, shelved(house))


def asked(cycle: Cycle, **changed: object) -> PlanRamp:
    command = PlanRamp(
        id=uuid4(), cycle_id=cycle.pk, of="SALINITY", end=Decimal(35), starts_on=TODAY, days=4
    )
    return replace(command, **changed)  # type: ignore[arg-type]  # each test changes one column


def test_ramp_begins_at_the_start_ups_value_before_any_reading(house: House, cycle: Cycle) -> None:
    ramp = plan_ramp(asked(cycle), by=house.ana, at=NOON)

    assert (ramp.begin, ramp.end, ramp.water_litres) == (Decimal(19), Decimal(35), Decimal(400))
    assert [step["target"] for step in ramp.steps] == [23, 27, 31, 35]
    line = Entry.objects.get(kind="tanks.plan-ramp")
    assert (line.about, line.by) == (f"tanks.cycle:{cycle.pk}", house.ana)


def test_ramp_begins_at_what_was_read_last(house: House, cycle: Cycle) -> None:
    logged(house, cycle.vessel, kit(house, "SALINITY"), "21", at=NOON)

    assert plan_ramp(asked(cycle), by=house.ana, at=NOON).begin == Decimal(21)


def test_delivered_twice_is_planned_once(house: House, cycle: Cycle) -> None:
    command = asked(cycle)

    first = plan_ramp(command, by=house.ana, at=NOON)
    again = plan_ramp(command, by=house.ana, at=NOON)

    assert first == again
    assert Entry.objects.filter(kind="tanks.plan-ramp").count() == 1


def test_same_id_to_another_end_is_refused(house: House, cycle: Cycle) -> None:
    command = asked(cycle)
    plan_ramp(command, by=house.ana, at=NOON)

    with pytest.raises(IdTaken):
        plan_ramp(replace(command, end=Decimal(34)), by=house.ana, at=NOON)


@pytest.mark.parametrize(
    ("changed", "refusal"),
    [
        ({"of": "PH"}, ramps.UnknownRamp),
        ({"days": 0}, ramps.DaysOffScale),
        ({"days": 31}, ramps.DaysOffScale),
        ({"starts_on": TODAY - timedelta(days=1)}, ramps.RampInThePast),
        ({"end": Decimal(19)}, ramps.NothingToRamp),
        ({"end": Decimal(60)}, ramps.EndOffScale),
        ({"of": "TEMPERATURE", "end": Decimal(60)}, ramps.EndOffScale),
    ],
)
def test_ramp_that_leads_nowhere_is_refused(
    house: House, cycle: Cycle, changed: dict[str, object], refusal: type[Refusal]
) -> None:
    with pytest.raises(refusal):
        plan_ramp(asked(cycle, **changed), by=house.ana, at=NOON)
    assert not Ramp.objects.exists()


def test_stranger_finds_no_such_start_up(house: House, cycle: Cycle) -> None:
    with pytest.raises(NotFound):
        plan_ramp(asked(cycle), by=house.bo, at=NOON)


def test_auditor_plans_nothing(house: House, cycle: Cycle) -> None:
    with pytest.raises(NotAllowed):
        plan_ramp(asked(cycle), by=house.hale, at=NOON)


def test_ended_start_up_is_ramped_no_more(house: House, cycle: Cycle) -> None:
    end_cycle(
        EndCycle(cycle_id=cycle.pk, outcome="GIVEN_UP", happened_at=NOON), by=house.mo, at=NOON
    )

    with pytest.raises(CycleEnded):
        plan_ramp(asked(cycle), by=house.ana, at=NOON)


def test_dry_salt_is_not_planned_for_animals(house: House, cycle: Cycle) -> None:
    stocked = StockingSource("test", lambda ids: dict.fromkeys(ids, NOON))

    with stocking_sources.plugged(stocked), pytest.raises(WaterStocked):
        plan_ramp(asked(cycle), by=house.ana, at=NOON)


def test_steps_are_done_by_readings_since_the_plan(house: House, cycle: Cycle) -> None:
    probe = kit(house, "SALINITY")
    ramp = plan_ramp(asked(cycle), by=house.ana, at=NOON)
    tomorrow = NOON + timedelta(days=1)
    logged(house, cycle.vessel, probe, "23.2", at=tomorrow - timedelta(hours=1))

    found = progress_of(ramp, at=tomorrow)

    assert [one.state for one in found] == ["done", "due", "planned", "planned"]


def test_the_latest_plan_of_its_kind_counts(house: House, cycle: Cycle) -> None:
    plan_ramp(asked(cycle), by=house.ana, at=NOON)
    later = NOON + timedelta(hours=1)
    slower = plan_ramp(asked(cycle, days=8), by=house.ana, at=later)
    heat = plan_ramp(asked(cycle, of="TEMPERATURE", end=Decimal(25)), by=house.ana, at=later)

    assert ramps_in_force(cycle) == {"SALINITY": slower, "TEMPERATURE": heat}
