"""Planned work: said before, for a day at most, and over by itself."""

from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest

from facility.commands.deliveries import InTheFuture
from facility.commands.maintenance import (
    EndsOutOfReach,
    ReasonMissing,
    SetMaintenance,
    set_maintenance,
)
from facility.models import Maintenance
from facility.queries.alerts import maintained, maintenance_of
from facility.queries.proof import first_breach
from facility.refusals import NotAllowed, NotFound
from tests.cast import NOON, House
from tests.tanks.estate import vessel_of

HOUR = timedelta(hours=1)


def _work(house: House, **changes: Any) -> SetMaintenance:
    told: dict[str, Any] = {
        "id": uuid4(),
        "about": f"facility.area:{house.area.pk}",
        "why": "Large water change",
        "begins_at": NOON,
        "ends_at": NOON + 2 * HOUR,
    }
    return SetMaintenance(**(told | changes))


def test_it_holds_for_its_time_and_ends_by_itself(house: House) -> None:
    row = set_maintenance(_work(house), by=house.ana, at=NOON)

    def under_way(at: datetime) -> Maintenance | None:
        return maintenance_of([row.about], at=at)

    assert under_way(NOON + HOUR) == row
    assert under_way(NOON + 2 * HOUR) is None
    assert list(maintained(house.site, at=NOON + HOUR)) == [row.about]
    assert first_breach(house.site) is None


def test_it_may_be_about_a_tank(house: House) -> None:
    tank = vessel_of(house)

    row = set_maintenance(_work(house, about=f"tanks.vessel:{tank.pk}"), by=house.ana, at=NOON)

    assert row.site == house.site


def test_done_early_it_is_set_anew(house: House) -> None:
    first = set_maintenance(_work(house), by=house.ana, at=NOON)

    again = _work(house, ends_at=NOON + HOUR, replaces_id=first.pk)
    set_maintenance(again, by=house.ana, at=NOON + HOUR)

    assert maintenance_of([first.about], at=NOON + 1.5 * HOUR) is None
    with pytest.raises(NotFound, match="set anew already"):
        set_maintenance(_work(house, replaces_id=first.pk), by=house.mo, at=NOON + HOUR)


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"ends_at": NOON}, EndsOutOfReach),
        ({"ends_at": NOON + 25 * HOUR}, EndsOutOfReach),
        ({"why": " "}, ReasonMissing),
        ({"begins_at": NOON + HOUR}, InTheFuture),
        ({"about": f"facility.area:{uuid4()}"}, NotFound),
        ({"about": "nonsense"}, NotFound),
    ],
)
def test_what_it_may_not_be(
    house: House, changes: dict[str, Any], refusal: type[Exception]
) -> None:
    with pytest.raises(refusal):
        set_maintenance(_work(house, **changes), by=house.ana, at=NOON)


def test_a_stranger_and_an_auditor(house: House) -> None:
    with pytest.raises(NotFound):
        set_maintenance(_work(house), by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        set_maintenance(_work(house), by=house.hale, at=NOON)
