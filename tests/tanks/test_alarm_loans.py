"""What was left for a while and not put right calls: a hose at once, a valve for its own tank."""

from datetime import timedelta
from typing import Final
from uuid import uuid4

from facility.commands.ledger import key_of
from facility.models import Alert
from facility.queries.alerts import signs_now
from tanks.commands.valve_loans import LendValve, lend_valve
from tanks.commands.watching import watch
from tests.cast import NOON, House
from tests.facility.loose import left, returned
from tests.tanks.estate import opened, system_of, vessel_of

HOUR: Final = timedelta(hours=1)
MINUTE: Final = timedelta(minutes=1)
MORNING: Final = NOON + 20 * HOUR


def _rules(alert: Alert) -> set[str]:
    return {sign.rule for sign in signs_now(alert)}


def test_a_hose_past_its_time_calls_now_and_passes_once_it_is_off(house: House) -> None:
    system = system_of(house)
    due = {"due_back_at": MORNING + HOUR, "about": key_of(system)}
    hose = left(house, at=MORNING, **due)
    levels = [
        [alert.level for alert in watch(house.site, at=MORNING + minutes * MINUTE)]
        for minutes in (59, 61)
    ]
    returned(house, hose, at=MORNING + 2 * HOUR)
    watch(house.site, at=MORNING + 3 * HOUR)

    assert levels == [[], [1]]
    assert _rules(Alert.objects.get()) == set()


def test_a_valve_lent_for_too_long_calls_once_for_the_tank_behind_it(house: House) -> None:
    tank = vessel_of(house)
    valve = opened(house, tank, system_of(house))
    command = LendValve(
        id=uuid4(),
        connection_id=valve.pk,
        why="Salt bath",
        due_back_at=MORNING + HOUR,
        owner_id=house.ana.pk,
        happened_at=MORNING,
    )
    lend_valve(command, by=house.ana, at=MORNING)

    [alert] = watch(house.site, at=MORNING + 2 * HOUR)

    assert (alert.about, alert.level) == (key_of(tank), 2)
    assert "Ana Quill answers for it" in signs_now(alert)[0].sentence
