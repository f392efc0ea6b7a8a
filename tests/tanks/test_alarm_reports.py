"""Lost flow, lost power and what is turned off call somebody; so does a room left undone.

Figures of the rules as shipped: common practice, no source.
"""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest

from facility.commands.ledger import key_of
from facility.models import Alert
from facility.queries.alerts import signs_now
from tanks.commands.devices import SwitchDevice, switch_device
from tanks.commands.incidents import LogIncident, log_incident
from tanks.commands.watching import watch
from tanks.models import Device, Vessel
from tanks.rules.alarms.known import Report
from tests.cast import NOON, House
from tests.facility.loose import left, returned
from tests.tanks.estate import device_on, opened, system_of, vessel_of
from tests.tanks.walking import HOUR, sign_of, walked
from tests.tanks.watching import known, series, shipped, signs

MINUTE = timedelta(minutes=1)
MORNING = NOON + 20 * HOUR


def _levels(house: House, *, at: timedelta) -> list[int]:
    return [alert.level for alert in watch(house.site, at=MORNING + at)]


def _sentences(alert: Alert) -> str:
    return " ".join(sign.sentence for sign in signs_now(alert))


def _lost(house: House, vessel: Vessel, *, lasted_h: str | None) -> None:
    command = LogIncident(
        id=uuid4(),
        vessel_id=vessel.pk,
        kind="POWER_LOSS",
        lasted_h=Decimal(lasted_h) if lasted_h else None,
        note="Breaker tripped",
        happened_at=MORNING,
    )
    log_incident(command, by=house.ana, at=MORNING + 3 * HOUR)


def _switched_off(house: House, device: Device) -> None:
    command = SwitchDevice(
        id=uuid4(),
        device_id=device.pk,
        is_on=False,
        why="Cleaning it",
        due_back_at=MORNING + 4 * HOUR,
        owner_id=house.ana.pk,
        happened_at=MORNING,
    )
    switch_device(command, by=house.ana, at=MORNING)


def test_power_lost_calls_now_once_for_the_whole_water(house: House) -> None:
    tank, system = vessel_of(house), system_of(house)
    opened(house, tank, system)
    _lost(house, tank, lasted_h=None)

    [alert] = watch(house.site, at=MORNING + 3 * HOUR)

    assert (alert.about, alert.level) == (key_of(system), 1)
    assert "Power or flow lost: Breaker tripped, 3 h ago." in _sentences(alert)


def test_power_that_is_back_is_a_matter_of_today(house: House) -> None:
    _lost(house, vessel_of(house), lasted_h="1.5")

    [alert] = watch(house.site, at=MORNING + 3 * HOUR)

    assert alert.level == 2
    assert "for 1.5 h" in _sentences(alert)


@pytest.mark.parametrize(("sign", "levels"), [("FLOW", [1]), ("LEVEL", [1]), ("SPOTS", [])])
def test_what_a_walk_saw_of_flow_and_level_calls_now(
    house: House, sign: str, levels: list[int]
) -> None:
    tank = vessel_of(house)
    walked(house, tank, sign_of(tank, sign), at=MORNING)

    assert _levels(house, at=HOUR) == levels


@pytest.mark.parametrize(
    ("kind", "minutes", "levels"),
    [("PUMP", 29, []), ("PUMP", 31, [1]), ("AIR", 31, [1]), ("BIOFILTER", 31, [1]), ("UV", 31, [])],
)
def test_what_moves_water_or_air_may_be_off_for_half_an_hour(
    house: House, kind: str, minutes: int, levels: list[int]
) -> None:
    device = device_on(house, vessel_of(house), kind=kind, name="Unit 4")
    _switched_off(house, device)

    assert _levels(house, at=minutes * MINUTE) == levels


def test_an_old_report_calls_nobody_and_what_is_off_goes_on_calling() -> None:
    long_ago = NOON - 25 * HOUR
    lost = Report(key="tanks.incident:1", kind="incident:POWER_LOSS", told="Lost", at=long_ago)
    off = Report(key="tanks.switch:1", kind="off:AIR", told="Off", at=long_ago, goes_on=True)
    water = known(reports=(lost, off))

    assert signs(shipped("flow-lost"), water) == []
    assert [sign.level for sign in signs(shipped("circulation-off"), water)] == [1]


@pytest.mark.parametrize("about", ["area", "site"])
def test_what_a_room_or_the_site_was_left_with_calls_and_passes(house: House, about: str) -> None:
    subject = key_of(house.area if about == "area" else house.site)
    hose = left(house, at=MORNING, about=subject, due_back_at=MORNING + HOUR)
    levels = [_levels(house, at=minutes * MINUTE) for minutes in (59, 61, 62)]
    alert = Alert.objects.get()
    told = _sentences(alert)
    returned(house, hose, at=MORNING + 2 * HOUR)
    watch(house.site, at=MORNING + 3 * HOUR)

    assert levels[:2] == [[], [1]]
    assert (alert.about, alert.url) == (subject, "/closing/")
    assert "Hose fills the rain butt: should have been put right" in told
    assert signs_now(alert) == []


def test_what_hangs_on_a_device_calls_for_its_water(house: House) -> None:
    tank = vessel_of(house)
    device = device_on(house, tank)
    left(house, at=MORNING, about=key_of(device), kind="HOLD", due_back_at=MORNING + HOUR)

    [alert] = watch(house.site, at=MORNING + 2 * HOUR)

    assert (alert.about, alert.level) == (key_of(tank), 2)


def test_a_probe_that_stands_still_for_three_days_is_a_matter_of_today() -> None:
    still = series("PH", [7.81] * 10, every=8 * HOUR)
    moving = series("PH", [7.81] * 9 + [7.82], every=8 * HOUR)
    quick = series("PH", [7.81] * 10, every=HOUR)

    found = [signs(shipped("flat-line"), known(*points)) for points in (still, moving, quick)]

    assert [[sign.level for sign in each] for each in found] == [[2], [], []]
    assert found[0][0].sentence == "pH 7.81 pH (A-01) was read 10 times running, to the digit."


@pytest.mark.parametrize(
    ("code", "parameter", "values", "hours", "sounds"),
    [
        ("oxygen-fall", "OXYGEN", [8.0, 6.9], 2, True),
        ("oxygen-fall", "OXYGEN", [8.0, 7.1], 2, False),
        ("oxygen-fall", "OXYGEN", [8.0, 6.5], 5, False),
        ("oxygen-fall", "OXYGEN", [6.0, 8.0], 2, False),
        ("tan-rise", "TAN", [0.05, 0.3], 24, True),
        ("tan-rise", "TAN", [0.05, 0.15], 24, False),
        ("tan-rise", "TAN", [0.05, 0.3], 72, False),
    ],
)
def test_what_moves_fast_calls_before_a_limit_does(
    code: str, parameter: str, values: list[float], hours: int, *, sounds: bool
) -> None:
    water = known(*series(parameter, values, every=hours * HOUR))

    assert bool(signs(shipped(code), water)) is sounds
