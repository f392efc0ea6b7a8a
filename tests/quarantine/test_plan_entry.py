"""The stocking plan: who enters when, and the feed against what the filter has proven."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.test import Client

from facility.models import Entry
from facility.refusals import NotAllowed, NotFound
from quarantine.commands.plans import (
    DroppedBefore,
    DropPlannedEntry,
    DropReasonMissing,
    PlanCountMissing,
    PlanEntry,
    PlanFeedNegative,
    PlanOfNothing,
    drop_planned_entry,
    plan_entry,
)
from quarantine.models import PlannedEntry
from quarantine.queries.plans import stocking_plan
from tanks.queries.waters import water_of
from tests.cast import House
from tests.quarantine.dying import arrived
from tests.quarantine.ready import AT, ready
from tests.quarantine.staying import DAY, HOUR, planned, tank_behind


def test_feed_adds_up_against_the_share_allowed_that_day(house: House) -> None:
    """19.3 g/day are certified: a quarter at first, half of it after three clean days."""
    told, tank = ready(house), tank_behind(house, "Q-1")
    lot = arrived(house, tank, at=AT - HOUR)
    first = replace(_command(told.vessel.pk, lot.pk, feed="4"), planned_on=AT.date())
    second = replace(_command(told.vessel.pk, lot.pk, feed="4"), planned_on=AT.date() + DAY)
    for command in (first, second):
        plan_entry(command, by=house.mo, at=AT)

    plan = stocking_plan(water_of(told.vessel, at=AT))

    loads = [line.load for line in plan.lines]
    assert [(one.feed_g_per_day, one.fits) for one in loads if one] == [(4, True), (8, False)]
    assert plan.ramp.certified_g_per_day == pytest.approx(19.3, abs=0.1)
    assert [rung.percent for rung in plan.ramp.rungs] == [25, 50, 75, 100]
    assert all(line.comes_too_early for line in plan.lines)


def test_it_is_planned_and_dropped_once_each_with_a_line(house: House) -> None:
    tank = tank_behind(house, "Q-1")
    row = planned(house, arrived(house, tank), tank, at=AT)
    command = DropPlannedEntry(id=uuid4(), planned_id=row.pk, reason="None to be had")

    first, again = (drop_planned_entry(command, by=house.ana, at=AT) for _ in range(2))

    assert first == again
    assert stocking_plan(water_of(tank, at=AT)).lines == ()
    assert PlannedEntry.objects.count() == 2
    assert Entry.objects.filter(kind__endswith="planned-entry").count() == 1
    with pytest.raises(DroppedBefore):
        drop_planned_entry(replace(command, id=uuid4()), by=house.ana, at=AT)


def test_each_refusal_says_what_is_wrong(house: House) -> None:
    tank = tank_behind(house, "Q-1")
    lot = arrived(house, tank)
    right = _command(tank.pk, lot.pk)
    for wrong, refusal in (
        (replace(right, lot_id=None), PlanOfNothing),
        (replace(right, lot_id=uuid4()), NotFound),
        (replace(right, count=0), PlanCountMissing),
        (replace(right, feed_g_per_day=Decimal(-1)), PlanFeedNegative),
    ):
        with pytest.raises(refusal):
            plan_entry(wrong, by=house.ana, at=AT)
    with pytest.raises(NotAllowed):
        plan_entry(right, by=house.hale, at=AT)
    row = plan_entry(right, by=house.ana, at=AT)
    with pytest.raises(DropReasonMissing):
        drop_planned_entry(
            DropPlannedEntry(id=uuid4(), planned_id=row.pk, reason=" "), by=house.ana, at=AT
        )


def test_the_page_takes_a_species_to_be_bought(house: House, client: Client) -> None:
    tank = tank_behind(house, "Q-1")
    species = arrived(house, tank).species
    client.force_login(house.ana)
    told = {
        "id": str(uuid4()),
        "species": str(species.pk),
        "count": "10",
        "planned_on": "2026-12-20",
        "feed_g_per_day": "1,5",
    }

    answer = client.post(f"/waters/{tank.pk}/stocking-plan/", told)

    assert answer.status_code == 303
    page = client.get(answer["Location"]).content.decode()
    assert str(species) in page
    assert "No certified feed has been signed" in page
    assert PlannedEntry.objects.get().feed_g_per_day == Decimal("1.5")


def _command(vessel_id: object, lot_id: object, *, feed: str = "1") -> PlanEntry:
    return PlanEntry(
        id=uuid4(),
        vessel_id=vessel_id,  # type: ignore[arg-type]  # ids of the rows above
        lot_id=lot_id,  # type: ignore[arg-type]  # ids of the rows above
        count=6,
        planned_on=(AT + timedelta(days=3)).date(),
        feed_g_per_day=Decimal(feed),
    )
