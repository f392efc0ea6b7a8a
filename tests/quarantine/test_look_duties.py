"""Each tank in quarantine is looked at daily, and a look there answers it."""

from datetime import timedelta
from uuid import uuid4

import pytest

from facility.commands.evidence import answer_by_evidence
from facility.commands.raising import RaiseTasks, raise_tasks
from facility.models import Duty, Task
from quarantine.commands.observations import log_observation
from quarantine.queries.releases import tanks_apart
from tanks.commands.duties import AdoptDuties, adopt_duties
from tests.cast import NOON, House
from tests.quarantine.dying import arrived, look_of
from tests.quarantine.equipment import lot_in
from tests.tanks.estate import vessel_of

HOUR = timedelta(hours=1)
pytestmark = pytest.mark.django_db


def test_only_tanks_with_animals_from_outside_are_in_quarantine(house: House) -> None:
    apart, settled = vessel_of(house, code="Q-01"), vessel_of(house, code="A-01")
    vessel_of(house, code="A-02")
    arrived(house, apart)
    lot_in(house, settled)

    assert tanks_apart(house.site.pk, NOON) == [f"tanks.vessel:{apart.pk}"]


def test_the_usual_duties_hold_a_daily_look_that_only_a_look_there_answers(house: House) -> None:
    tank, other = vessel_of(house, code="Q-01"), vessel_of(house, code="Q-02")
    arrived(house, tank)
    adopt_duties(AdoptDuties(id=uuid4(), site_id=house.site.pk), by=house.mo, at=NOON)
    duty = Duty.objects.get(title__startswith="Look at the animals of")
    until = NOON + 48 * HOUR
    raise_tasks(RaiseTasks(site_id=house.site.pk, until=until), by=None, at=NOON)
    task = Task.objects.filter(duty=duty).earliest("due_at")
    at = task.opens_at + HOUR

    log_observation(look_of(other, at=at), by=house.ana, at=at)
    assert answer_by_evidence(f"tanks.vessel:{other.pk}", at=at) == []
    log_observation(look_of(tank, at=at), by=house.ana, at=at)
    (answer,) = answer_by_evidence(f"tanks.vessel:{tank.pk}", at=at)

    assert (answer.task, answer.by) == (task, house.ana)
