"""What a carcass showed, where it went, and how long it is worth opening."""

from datetime import timedelta
from uuid import uuid4

import pytest

from facility.refusals import IdTaken, NotAllowed, NotFound
from quarantine.commands import necropsies
from quarantine.commands.deaths import CarcassUnsaid, CauseUnsaid, WithdrawDeath, withdraw_death
from quarantine.commands.necropsies import SetCarcass, log_necropsy, set_carcass
from quarantine.models import Death
from quarantine.queries.deaths import deaths_related, is_explained
from tanks.commands.entering import CorrectedBefore
from tests.cast import NOON, House
from tests.quarantine.dying import arrived, died, examined, necropsy_of
from tests.tanks.estate import vessel_of

HOUR = timedelta(hours=1)
pytestmark = pytest.mark.django_db


@pytest.fixture
def death(house: House) -> Death:
    tank = vessel_of(house, code="Q-01")
    return died(house, arrived(house, tank), tank, count=2)


def _known(death: Death) -> Death:
    found: Death = deaths_related(Death.objects.filter(pk=death.pk)).get()
    return found


def test_a_necropsy_explains_what_was_not_known(house: House, death: Death) -> None:
    assert not is_explained(_known(death))

    examined(house, death, at=NOON + HOUR)
    assert not is_explained(_known(death))
    examined(house, death, at=NOON + 2 * HOUR, cause="PARASITE", submitted="Gill, to the lab")

    assert is_explained(_known(death))
    assert not Death.objects.get(pk=death.pk).is_explained


def test_a_carcass_goes_where_it_is_said_to_go(house: House, death: Death) -> None:
    command = SetCarcass(
        id=uuid4(), death_id=death.pk, happened_at=NOON + HOUR, carcass="COOLED", note="Box 3"
    )
    row = set_carcass(command, by=house.ana, at=NOON + HOUR)

    assert set_carcass(command, by=house.ana, at=NOON + HOUR) == row
    assert [fate.carcass for fate in _known(death).fates.all()] == ["COOLED"]
    with pytest.raises(CarcassUnsaid):
        set_carcass(
            SetCarcass(id=uuid4(), death_id=death.pk, happened_at=NOON, carcass="LOST"),
            by=house.ana,
            at=NOON,
        )


def test_what_cannot_be_is_refused(house: House, death: Death) -> None:
    for changes, refusal in (
        ({"examined": 3}, necropsies.MoreThanDied),
        ({"examined": 0}, necropsies.MoreThanDied),
        ({"gross": " "}, necropsies.GrossMissing),
        ({"performed_by": ""}, necropsies.PerformerMissing),
        ({"cause": "FATE"}, CauseUnsaid),
        ({"happened_at": NOON - HOUR}, necropsies.BeforeDeath),
        ({"death_id": uuid4()}, NotFound),
    ):
        told = necropsy_of(death, **({"at": NOON} | changes))
        with pytest.raises(refusal):
            log_necropsy(told, by=house.ana, at=NOON)


def test_a_death_taken_back_is_not_opened(house: House, death: Death) -> None:
    withdraw_death(
        WithdrawDeath(id=uuid4(), death_id=death.pk, reason="Asleep"), by=house.ana, at=NOON
    )

    with pytest.raises(CorrectedBefore):
        log_necropsy(necropsy_of(death, at=NOON), by=house.ana, at=NOON)


def test_delivered_twice_is_one_necropsy(house: House, death: Death) -> None:
    command = necropsy_of(death, at=NOON)
    first = log_necropsy(command, by=house.ana, at=NOON)

    assert log_necropsy(command, by=house.ana, at=NOON + HOUR) == first
    with pytest.raises(IdTaken):
        log_necropsy(
            necropsy_of(death, at=NOON, id=command.id, gross="Else"), by=house.ana, at=NOON
        )


def test_stranger_and_auditor_open_nothing(house: House, death: Death) -> None:
    with pytest.raises(NotFound):
        log_necropsy(necropsy_of(death, at=NOON), by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        log_necropsy(necropsy_of(death, at=NOON), by=house.hale, at=NOON)
