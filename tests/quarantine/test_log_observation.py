"""A look at a tank: who was seen, whether they ate, how they breathed, what was not well."""

from datetime import timedelta
from uuid import uuid4

import pytest

from facility.commands.deliveries import InTheFuture
from facility.models import Entry
from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotAllowed, NotFound
from quarantine.commands import observations
from quarantine.commands.observations import log_observation
from quarantine.models import Observation
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.quarantine.dying import arrived, look_of, looked
from tests.tanks.estate import vessel_of

HOUR = timedelta(hours=1)
pytestmark = pytest.mark.django_db


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house, code="Q-01")


def test_what_was_seen_is_kept_of_the_tank_and_of_a_lot_in_it(house: House, tank: Vessel) -> None:
    lot = arrived(house, tank)
    photo = uuid4()

    whole = looked(house, tank)
    one = looked(
        house,
        tank,
        lot_id=lot.pk,
        seen_count=198,
        feeding="REFUSED",
        respiration="FAST",
        signs=("SPOTS", "OTHER"),
        note="One swims in circles",
        photos=(photo,),
    )

    assert (whole.lot, whole.signs) == (None, [])
    assert (one.lot, one.signs, one.photos) == (lot, ["SPOTS", "OTHER"], [photo])
    line = Entry.objects.latest("pk")
    assert (line.kind, line.about) == ("quarantine.log-observation", f"tanks.vessel:{tank.pk}")
    assert first_breach(house.site) is None


def test_delivered_twice_is_one_look(house: House, tank: Vessel) -> None:
    command = look_of(tank, signs=("CLAMPED",), note=" by the inlet ")
    first = log_observation(command, by=house.ana, at=NOON)

    assert log_observation(command, by=house.ana, at=NOON + HOUR) == first
    with pytest.raises(IdTaken):
        log_observation(look_of(tank, id=command.id), by=house.ana, at=NOON)
    assert Observation.objects.count() == 1


def test_what_cannot_be_is_refused(house: House, tank: Vessel) -> None:
    for changes, refusal in (
        ({"feeding": "MAYBE"}, observations.FeedingUnsaid),
        ({"respiration": ""}, observations.RespirationUnsaid),
        ({"signs": ("LIMP",)}, observations.UnknownSigns),
        ({"signs": ("EYES", "EYES")}, observations.UnknownSigns),
        ({"signs": ("OTHER",), "note": " "}, observations.NoteMissing),
        ({"lot_id": uuid4()}, NotFound),
        ({"happened_at": NOON + HOUR}, InTheFuture),
    ):
        with pytest.raises(refusal):
            log_observation(look_of(tank, **changes), by=house.ana, at=NOON)
    assert not Observation.objects.exists()


def test_stranger_and_auditor_log_no_look(house: House, tank: Vessel) -> None:
    with pytest.raises(NotFound):
        log_observation(look_of(tank), by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        log_observation(look_of(tank), by=house.hale, at=NOON)
