"""Agents and containers as a site keeps them, and a second person who works a dose out."""

from dataclasses import replace
from decimal import Decimal
from uuid import uuid4

import pytest

from facility.models import Entry
from quarantine.commands.agents import (
    AdoptAgents,
    SetAgent,
    WindowUnsound,
    adopt_agents,
    set_agent,
)
from quarantine.commands.computations import compute_dose
from quarantine.commands.containers import (
    BatchMissing,
    ContainerRetired,
    ContainerTaken,
    StrengthOffScale,
    TrialUntold,
    UnknownForm,
    record_trial,
    retire_container,
    shelve_container,
)
from quarantine.models import Agent, Container
from tests.cast import NOON, House
from tests.contracts.treatment_acts import to_retire_container, to_set_agent
from tests.quarantine.ready import AT
from tests.quarantine.treating import (
    DAY,
    HOUR,
    agents_in,
    container_command,
    dose_of,
    second_of,
    told_course,
    trial_of,
)

pytestmark = pytest.mark.django_db


def test_where_the_site_says_so_a_missed_window_sets_back(house: House) -> None:
    command: SetAgent = to_set_agent(house)
    later = NOON + 60 * DAY
    with pytest.raises(WindowUnsound):
        set_agent(replace(command, high=None), by=house.mo, at=later)
    set_agent(command, by=house.mo, at=later)
    agent = Agent.objects.get(period__contains=later, code="COPPER_FREE")
    assert (agent.out_of_window, agent.stops.count()) == ("RESET", 4)


def test_containers_one_by_one(house: House) -> None:
    agents_in(house)
    command = container_command(house)
    tub = shelve_container(command, by=house.ana, at=NOON)

    assert float(tub.strength) == pytest.approx(254.51, abs=0.01)
    for changes, refusal in (
        ({}, ContainerTaken),
        ({"batch": " "}, BatchMissing),
        ({"form": "CU_BOUND"}, UnknownForm),
        ({"batch": "K-205", "label_strength": Decimal(250)}, StrengthOffScale),
    ):
        with pytest.raises(refusal):
            shelve_container(replace(command, id=uuid4(), **changes), by=house.ana, at=NOON)
    with pytest.raises(TrialUntold):
        record_trial(trial_of(tub, was_harmed=True), by=house.ana, at=NOON)
    assert Container.objects.count() == 1


def test_what_was_taken_off_the_shelf_is_not_tried_nor_taken_off_again(house: House) -> None:
    command = to_retire_container(house)
    tub = retire_container(command, by=house.ana, at=AT)

    with pytest.raises(ContainerRetired):
        record_trial(trial_of(tub, at=AT), by=house.ana, at=AT)
    with pytest.raises(ContainerRetired):
        retire_container(replace(command, happened_at=AT + HOUR), by=house.ana, at=AT + HOUR)


def test_the_second_person_keeps_figures_of_their_own(house: House) -> None:
    told = told_course(house)
    command = second_of(told, dose_of(told))
    row = compute_dose(command, by=house.mo, at=NOON)
    assert row == compute_dose(command, by=house.mo, at=NOON + HOUR)
    assert (row.by, row.litres) == (house.mo, Decimal(400))


def test_adopted_twice_each_agent_stands_once(house: House) -> None:
    agents_in(house)
    agents_in(house)
    assert Agent.objects.filter(site=house.site).count() == 9
    assert Entry.objects.filter(kind="quarantine.adopt-agents").count() == 1
    assert adopt_agents(AdoptAgents(id=uuid4(), site_id=house.site.pk), by=house.mo, at=NOON) == []
