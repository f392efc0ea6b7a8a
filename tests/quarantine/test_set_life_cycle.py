"""A parasite's life cycle as the site knows it; figures here are made up for the test."""

from dataclasses import replace
from decimal import Decimal
from uuid import uuid4

import pytest
from django.test import Client

from facility.refusals import NotAllowed
from quarantine.commands.life_cycles import (
    CycleAgentMissing,
    CyclePoint,
    CyclesMissing,
    CycleUnsound,
    set_life_cycle,
)
from quarantine.commands.stay_rules import ChoiceUnknown, StaysAdopted, adopt_stay_rules
from quarantine.models import LifeCycle
from quarantine.queries.stay_rules import stay_rules_at
from tanks.commands.policies import SourceMissing
from tests.cast import House
from tests.contracts.stay_acts import to_adopt_stay_rules, to_set_life_cycle
from tests.quarantine.ready import AT
from tests.quarantine.staying import DAY


def test_it_replaces_the_one_of_the_same_agent_and_water(house: House) -> None:
    command = to_set_life_cycle(house)
    before = LifeCycle.objects.count()

    first, again = (set_life_cycle(command, by=house.vera, at=AT) for _ in range(2))

    assert first == again
    known = stay_rules_at(house.site, at=AT + DAY).cycles
    assert len(known) == before
    (white_spot,) = [one for one in known if one.agent == command.agent]
    assert (white_spot.points, white_spot.cycles) == (((15, 14), (24, 4)), 2)
    assert white_spot.days_at(15) == pytest.approx(14)
    (then,) = [
        one for one in stay_rules_at(house.site, at=AT - DAY).cycles if one.agent == command.agent
    ]
    assert then.cycles == 1


def test_each_refusal_names_its_field(house: House) -> None:
    right = to_set_life_cycle(house)
    slower_when_warm = tuple(
        CyclePoint(temperature_c=Decimal(celsius), days=Decimal(days))
        for celsius, days in ((15, 4), (24, 14))
    )
    for wrong, refusal in (
        (replace(right, agent=" "), CycleAgentMissing),
        (replace(right, water_kind="ICE"), ChoiceUnknown),
        (replace(right, points=()), CycleUnsound),
        (replace(right, points=slower_when_warm), CycleUnsound),
        (replace(right, cycles=0), CyclesMissing),
        (replace(right, source=""), SourceMissing),
    ):
        with pytest.raises(refusal):
            set_life_cycle(wrong, by=house.mo, at=AT)
    with pytest.raises(NotAllowed):
        set_life_cycle(right, by=house.ana, at=AT)


def test_the_sheet_takes_points_as_they_are_said(house: House, client: Client) -> None:
    adopt_stay_rules(to_adopt_stay_rules(house), by=house.mo, at=AT)
    client.force_login(house.mo)
    address = f"/sites/{house.site.pk}/stays/life-cycle/"
    told = {
        "id": str(uuid4()),
        "agent": "Cryptocaryon irritans",
        "water_kind": "MARINE",
        "points": "15: 76; 25,5: 40",
        "cycles": "1",
        "source": "The house's own",
    }

    assert client.post(address, told | {"points": "warm: soon"}).status_code == 422
    assert client.post(address, told).status_code == 303

    row = LifeCycle.objects.get(agent="Cryptocaryon irritans")
    assert row.points == [{"temperature_c": 15, "days": 76}, {"temperature_c": 25.5, "days": 40}]
    assert "Cryptocaryon irritans" in client.get("/stays/rules/").content.decode()
    with pytest.raises(StaysAdopted):
        adopt_stay_rules(to_adopt_stay_rules(house), by=house.mo, at=AT)
