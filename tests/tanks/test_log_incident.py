"""Incidents: what befell the filter, kept for the rules that draw conclusions from it."""

from dataclasses import replace
from decimal import Decimal
from uuid import uuid4

import pytest

from facility.models import Entry
from facility.refusals import IdTaken, NotFound, Refusal
from tanks.commands import incidents
from tanks.commands.incidents import LogIncident, log_incident
from tanks.models import Incident, Vessel
from tests.cast import NOON, House
from tests.tanks.estate import vessel_of


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house)


def asked(vessel: Vessel, **changed: object) -> LogIncident:
    command = LogIncident(
        id=uuid4(),
        vessel_id=vessel.pk,
        kind="POWER_LOSS",
        lasted_h=Decimal("5.5"),
        note="Breaker of rack C off from 05:14",
        happened_at=NOON,
    )
    return replace(command, **changed)  # type: ignore[arg-type]  # each test changes one column


def test_incident_is_kept(house: House, tank: Vessel) -> None:
    incident = log_incident(asked(tank), by=house.ana, at=NOON)

    assert (incident.kind, incident.lasted_h) == ("POWER_LOSS", Decimal("5.5"))
    line = Entry.objects.get(kind="tanks.log-incident")
    assert (line.about, line.by) == (f"tanks.vessel:{tank.pk}", house.ana)


def test_nobody_need_know_how_long_it_lasted(house: House, tank: Vessel) -> None:
    assert log_incident(asked(tank, lasted_h=None), by=house.ana, at=NOON).lasted_h is None


def test_delivered_twice_befell_once(house: House, tank: Vessel) -> None:
    command = asked(tank)

    log_incident(command, by=house.ana, at=NOON)
    log_incident(command, by=house.ana, at=NOON)

    assert Incident.objects.count() == 1
    assert Entry.objects.filter(kind="tanks.log-incident").count() == 1


def test_same_id_of_another_kind_is_refused(house: House, tank: Vessel) -> None:
    command = asked(tank)
    log_incident(command, by=house.ana, at=NOON)

    with pytest.raises(IdTaken):
        log_incident(replace(command, kind="MEDIA_DRIED"), by=house.ana, at=NOON)


@pytest.mark.parametrize(
    ("changed", "refusal"),
    [
        ({"kind": "GHOSTS"}, incidents.UnknownIncident),
        ({"lasted_h": Decimal(0)}, incidents.HoursOffScale),
        ({"lasted_h": Decimal(10_000)}, incidents.HoursOffScale),
        ({"note": " "}, incidents.NoteMissing),
    ],
)
def test_incident_nobody_can_act_on_is_refused(
    house: House, tank: Vessel, changed: dict[str, object], refusal: type[Refusal]
) -> None:
    with pytest.raises(refusal):
        log_incident(asked(tank, **changed), by=house.ana, at=NOON)
    assert not Incident.objects.exists()


def test_stranger_finds_no_such_tank(house: House, tank: Vessel) -> None:
    with pytest.raises(NotFound):
        log_incident(asked(tank), by=house.bo, at=NOON)
