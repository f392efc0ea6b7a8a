"""When an alert calls: once when raised, again when worse, never for planned work of today."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Final
from uuid import uuid4

import pytest

from facility.commands.alerts import AcceptAlert, accept_alert, raise_alert
from facility.commands.maintenance import SetMaintenance, set_maintenance
from facility.models import Alert, Channel, Notice
from facility.sockets.callers import Caller, callers
from tests.cast import NOON, House
from tests.facility.alerting import a_sign, raised, told_of

HOUR: Final = timedelta(hours=1)


@pytest.fixture
def calls(house: House) -> Iterator[list[str]]:
    """Each call as it is made; the house's own caller writes a notice to Mo for it."""
    told: list[str] = []
    Channel.objects.create(
        site=house.site, person=house.mo, kind="EMAIL", name="Post", settings={}, set_at=NOON
    )

    def call(alert: Alert, step: str, at: datetime) -> None:
        if step in {"raised", "worse"}:
            told.append(step)
            assert Notice.objects.filter(alert=alert, step=step, made_at=at).exists()

    with callers.plugged(Caller(name="tests.post", call=call)):
        yield told


def _planned(house: House, about: str, *, hours: int = 2) -> None:
    command = SetMaintenance(
        id=uuid4(),
        about=about,
        why="Large water change",
        begins_at=NOON,
        ends_at=NOON + hours * HOUR,
    )
    set_maintenance(command, by=house.mo, at=NOON)


def test_it_calls_once_however_often_it_is_looked_at(house: House, calls: list[str]) -> None:
    for hours in (0, 1, 2):
        raised(house, at=NOON + hours * HOUR)

    assert calls == ["raised"]


def test_what_is_only_listed_calls_nobody(house: House, calls: list[str]) -> None:
    raised(house, a_sign(level=3))

    assert calls == []


def test_worse_calls_again_and_once(house: House, calls: list[str]) -> None:
    raised(house)
    for hours in (1, 2):
        raised(house, a_sign(level=1), at=NOON + hours * HOUR)

    assert calls == ["raised", "worse"]


def test_listed_first_and_then_a_matter_of_today_calls(house: House, calls: list[str]) -> None:
    raised(house, a_sign(level=3))

    raised(house, a_sign(level=2), at=NOON + HOUR)

    assert calls == ["worse"]


@pytest.mark.parametrize("kind", ["area", "site", "vessel"])
def test_planned_work_on_the_tank_its_area_or_the_site_holds_the_call_until_it_ends(
    house: House, calls: list[str], kind: str
) -> None:
    about = told_of(house).about
    around = {
        "vessel": about,
        "area": f"facility.area:{house.area.pk}",
        "site": f"facility.site:{house.site.pk}",
    }
    _planned(house, around[kind])

    raised(house, at=NOON + HOUR)
    held = list(calls)
    raised(house, at=NOON + 2 * HOUR)

    assert (held, calls) == ([], ["raised"])


def test_it_holds_nothing_that_asks_for_action_now(house: House, calls: list[str]) -> None:
    _planned(house, told_of(house).about)

    raised(house, a_sign(level=1), at=NOON + HOUR)

    assert calls == ["raised"]


def test_what_passed_during_planned_work_never_calls(house: House, calls: list[str]) -> None:
    _planned(house, told_of(house).about)
    raised(house, at=NOON + HOUR)
    raise_alert(told_of(house), by=None, at=NOON + 1.5 * HOUR)

    raise_alert(told_of(house), by=None, at=NOON + 3 * HOUR)

    assert calls == []


def test_an_accepted_alert_calls_nobody_again(house: House, calls: list[str]) -> None:
    _planned(house, told_of(house).about)
    alert = raised(house, at=NOON + HOUR)
    accept_alert(AcceptAlert(alert_id=alert.pk), by=house.ana, at=NOON + HOUR)

    raised(house, a_sign("nitrite-limit"), a_sign(), at=NOON + 3 * HOUR)

    assert calls == []
