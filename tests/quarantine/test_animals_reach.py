"""Where animals may be, no ammonia goes: across valves, nor by a start-up begun unawares."""

from dataclasses import replace

import pytest
from django.test import Client
from django.utils import timezone

from facility.models import Entry
from tanks.commands.allowing import WaterStocked
from tanks.commands.cycles import EndCycle, end_cycle, start_cycle
from tanks.commands.startable import AnimalsThere
from tanks.models import Cycle
from tanks.queries.acts import holds_animals
from tanks.queries.waters import water_of
from tests.cast import NOON, House
from tests.quarantine.ready import ready, stocked
from tests.tanks.estate import closed, measured, opened, system_of
from tests.tanks.proving import HOUR, Proving, start_of
from tests.tanks.shelf import dosed, started


@pytest.fixture
def told(house: House) -> Proving:
    """A stocked tank whose start-up has ended."""
    told = ready(house)
    entered = stocked(told)
    command = EndCycle(
        cycle_id=told.cycle.pk, outcome="STOCKED", happened_at=entered.happened_at + HOUR
    )
    end_cycle(command, by=house.ana, at=command.happened_at)
    return told


def test_no_ammonia_goes_into_a_start_up_once_a_stocked_tank_is_opened_to_it(
    house: House, told: Proving
) -> None:
    later = NOON + 60 * HOUR
    system = system_of(house)
    measured(house, system, litres="400")
    started(house, system, told.salt, at=later)
    dosed(told.salt, system, by=house.ana, happened_at=later)
    opened(house, told.vessel, system, at=later + HOUR)

    with pytest.raises(WaterStocked):
        dosed(told.salt, system, by=house.ana, happened_at=later + 2 * HOUR)


def test_a_tank_that_shared_a_stocked_water_may_hold_animals_when_it_is_cut_off(
    house: House, told: Proving
) -> None:
    later = NOON + 60 * HOUR
    system = system_of(house)
    valve = opened(house, told.vessel, system, at=later)
    closed(house, valve, at=later + HOUR)

    assert holds_animals(water_of(system, at=later + 2 * HOUR))
    assert not holds_animals(water_of(system, at=later - HOUR))


def test_a_start_up_around_animals_is_asked_about_and_the_answer_is_kept(
    house: House, told: Proving
) -> None:
    later = NOON + 60 * HOUR
    command = start_of(told.vessel, told.salt, happened_at=later)

    with pytest.raises(AnimalsThere, match="Are all of them out"):
        start_cycle(command, by=house.ana, at=later)
    sure = replace(command, confirmed=frozenset({"animals-there"}))
    start_cycle(sure, by=house.ana, at=later)

    assert not holds_animals(water_of(told.vessel, at=later + HOUR))
    line = Entry.objects.filter(kind="tanks.start-cycle").order_by("-number").first()
    assert line is not None
    assert line.facts["confirmed"] == ["animals-there"]


def test_the_page_asks_the_same_and_loses_nothing_typed(
    house: House, told: Proving, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOON + 60 * HOUR)
    client.force_login(house.ana)
    address = f"/tanks/{told.vessel.pk}/cycle/"
    page = client.get(address)
    typed = {name: page.context["form"][name].value() for name in page.context["form"].fields}
    sent = {name: value for name, value in typed.items() if value is not None} | {
        "declared_feed_g_per_day": "7",
        "protein_share": "45",
        "seed": "NONE",
        "ammonia_id": str(told.salt.pk),
        "happened_at": "2026-04-01T01:00",
    }

    asked = client.post(address, sent)
    ticked = client.post(address, sent | {"confirmed": asked.context["form"].questions})

    assert asked.status_code == 422
    assert "Are all of them out?" in asked.content.decode()
    assert 'value="7"' in asked.content.decode()
    assert ticked.status_code == 303
    assert Cycle.objects.count() == 2
