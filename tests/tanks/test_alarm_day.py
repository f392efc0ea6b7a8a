"""A whole day of one house: what calls whom, what passes, what a correction takes back.

Limits and figures as shipped; common practice, no source, unless named in the rows.
"""

from datetime import datetime, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from facility.commands.alerts import AcceptAlert, accept_alert
from facility.commands.ledger import key_of
from facility.models import Alert, Entry, Task, WorkKind
from facility.queries.alerts import signs_now
from facility.queries.proof import first_breach
from tanks.commands.alarm_rules import SetAlarmRule, set_alarm_rule
from tanks.commands.changes import LogWaterChange, log_water_change
from tanks.commands.readings import CorrectReading, correct_reading
from tanks.commands.watching import watch
from tanks.models import AlarmRule, Method, Reading, Vessel
from tests.cast import NOON, House
from tests.facility.alerting import cleared
from tests.tanks.estate import closed, measured, opened, system_of, vessel_of
from tests.tanks.samples import kit, logged

HOUR = timedelta(hours=1)
MINUTE = timedelta(minutes=1)
DAY = timedelta(days=1)
MORNING = NOON + 20 * HOUR


@pytest.fixture
def meter(house: House) -> Method:
    return kit(house, "PH", name="Pen", kind="PROBE")


@pytest.fixture
def tan_kit(house: House) -> Method:
    return kit(house, "TAN", name="TAN drops", lowest=Decimal("0.1"))


@pytest.fixture
def system(house: House) -> Vessel:
    """A system with two tanks open to it."""
    core = system_of(house)
    for code in ("B-01", "B-02"):
        opened(house, vessel_of(house, code=code), core)
    return core


def _tank(house: House, code: str) -> Vessel:
    return Vessel.objects.get(site=house.site, code=code)


def _rules(alert: Alert) -> set[str]:
    return {sign.rule for sign in signs_now(alert)}


def _looked(house: House, at: datetime) -> list[Alert]:
    return watch(house.site, at=at)


def test_a_quiet_house_calls_nobody(house: House, system: Vessel, meter: Method) -> None:
    logged(house, system, meter, "7.6", at=MORNING)

    assert _looked(house, MORNING + HOUR) == []
    assert not Alert.objects.exists()


def test_one_water_raises_one_alert_whatever_tank_was_read(
    house: House, system: Vessel, meter: Method, tan_kit: Method
) -> None:
    logged(house, _tank(house, "B-01"), tan_kit, "0.6", at=MORNING)
    logged(house, _tank(house, "B-02"), tan_kit, "0.7", at=MORNING + 5 * MINUTE)
    logged(house, system, meter, "7.4", at=MORNING - 12 * HOUR)
    logged(house, _tank(house, "B-02"), meter, "7.8", at=MORNING + 6 * MINUTE)

    [alert] = _looked(house, MORNING + 10 * MINUTE)

    assert (alert.about, alert.name, alert.level) == (key_of(system), "S-1", 1)
    assert _rules(alert) == {"tan-limit", "ph-rising-with-tan"}
    assert alert.owner == house.mo
    assert first_breach(house.site) is None


def test_looked_at_again_nothing_changes(house: House, system: Vessel, tan_kit: Method) -> None:
    logged(house, system, tan_kit, "0.6", at=MORNING)
    _looked(house, MORNING + HOUR)
    before = Entry.objects.count()

    for minutes in (0, 5, 600):
        _looked(house, MORNING + HOUR + minutes * MINUTE)

    assert (Alert.objects.count(), Entry.objects.count()) == (1, before)


def test_the_day_from_a_bad_reading_to_its_cause(
    house: House, system: Vessel, tan_kit: Method
) -> None:
    logged(house, system, tan_kit, "0.6", at=MORNING)
    assert _looked(house, MORNING + 10 * MINUTE) == []  # a retest is still expected
    [alert] = _looked(house, MORNING + 30 * MINUTE)
    [sign] = signs_now(alert)
    accept_alert(
        AcceptAlert(alert_id=alert.pk, act=sign.advice), by=house.ana, at=MORNING + 40 * MINUTE
    )

    logged(house, system, tan_kit, "<0.1", at=MORNING + 6 * HOUR)
    _looked(house, MORNING + 6 * HOUR)

    alert.refresh_from_db()
    assert (signs_now(alert), alert.cleared_at) == ([], None)  # it passed, and still stands
    cleared(house, alert, at=MORNING + 7 * HOUR, cause="FEEDING", act="")
    assert _looked(house, MORNING + 8 * HOUR) == []
    assert first_breach(house.site) is None


def test_a_corrected_reading_takes_its_sign_back(
    house: House, system: Vessel, tan_kit: Method
) -> None:
    first = logged(house, system, tan_kit, "5", at=MORNING)
    [alert] = _looked(house, MORNING + HOUR)
    assert _rules(alert) == {"tan-limit"}

    correct_reading(
        CorrectReading(
            id=uuid4(),
            reading_id=first.pk,
            text="<0.1",
            unit=tan_kit.unit,
            basis=tan_kit.basis,
            method_id=tan_kit.pk,
            reason="Read the wrong tube.",
        ),
        by=house.ana,
        at=MORNING + 2 * HOUR,
    )
    _looked(house, MORNING + 2 * HOUR)

    alert.refresh_from_db()
    assert _rules(alert) == set()
    assert alert.cleared_at is None


def test_after_the_cause_was_told_the_same_reading_calls_nobody_again(
    house: House, system: Vessel, tan_kit: Method
) -> None:
    logged(house, system, tan_kit, "0.6", at=MORNING)
    [alert] = _looked(house, MORNING + HOUR)
    cleared(house, alert, at=MORNING + HOUR)

    assert _looked(house, MORNING + 10 * HOUR) == []
    logged(house, system, tan_kit, "0.8", at=MORNING + 11 * HOUR)
    [again] = _looked(house, MORNING + 11 * HOUR)
    assert again != alert


def test_a_tank_behind_its_closed_valve_has_an_alert_of_its_own(
    house: House, system: Vessel, tan_kit: Method
) -> None:
    tank = _tank(house, "B-02")
    closed(house, tank.connections.get(), at=MORNING)
    logged(house, tank, tan_kit, "0.9", at=MORNING + HOUR)

    [alert] = _looked(house, MORNING + 2 * HOUR)

    assert alert.about == key_of(tank)


def test_opened_again_its_signs_pass_and_the_water_is_judged_as_one(
    house: House, system: Vessel, tan_kit: Method
) -> None:
    tank = _tank(house, "B-02")
    closed(house, tank.connections.get(), at=MORNING)
    logged(house, tank, tan_kit, "0.9", at=MORNING + HOUR)
    _looked(house, MORNING + 2 * HOUR)
    opened(house, tank, system, at=MORNING + 3 * HOUR)

    _looked(house, MORNING + 4 * HOUR)

    alert = Alert.objects.get()
    assert (alert.about, _rules(alert)) == (key_of(tank), set())


def test_a_water_change_explains_a_jump_of_salinity(house: House, system: Vessel) -> None:
    pen = kit(house, "SALINITY", name="Refractometer", kind="PROBE")
    for vessel in (system, _tank(house, "B-01"), _tank(house, "B-02")):
        measured(house, vessel, litres="300")
    logged(house, system, pen, "15", at=MORNING)
    logged(house, system, pen, "13.5", at=MORNING + 8 * HOUR)
    [alert] = _looked(house, MORNING + 8 * HOUR)
    assert _rules(alert) == {"salinity-day"}

    log_water_change(
        LogWaterChange(
            id=uuid4(),
            vessel_id=system.pk,
            litres=Decimal(90),
            happened_at=MORNING + 6 * HOUR,
            source="Mains through carbon",
        ),
        by=house.ana,
        at=MORNING + 9 * HOUR,
    )
    _looked(house, MORNING + 9 * HOUR)

    assert _rules(Alert.objects.get()) == set()


def test_a_due_test_that_nobody_did_is_listed_and_then_a_matter_of_today(
    house: House, system: Vessel
) -> None:
    task = Task.objects.create(
        id=uuid4(),
        site=house.site,
        area=house.area,
        kind=WorkKind.TEST,
        title="Test nitrite",
        about=key_of(system),
        asks={"deeds": ["tanks.log-readings"], "parameters": ["NITRITE"]},
        minutes=5,
        hygiene_rank=1,
        opens_at=MORNING - 12 * HOUR,
        due_at=MORNING,
        late_at=MORNING + 12 * HOUR,
        raised_at=MORNING - 12 * HOUR,
    )

    levels = [
        [alert.level for alert in _looked(house, MORNING + hours * HOUR)] for hours in (5, 6, 24)
    ]

    assert levels == [[], [3], [2]]
    assert Alert.objects.get().signs.get().evidence == [key_of(task)]


def test_what_the_rule_no_longer_says_passes(house: House, system: Vessel, tan_kit: Method) -> None:
    logged(house, system, tan_kit, "0.6", at=MORNING)
    [alert] = _looked(house, MORNING + HOUR)
    rule = AlarmRule.objects.get(site=house.site, code="tan-limit")
    ending = SetAlarmRule(id=uuid4(), rule_id=rule.pk, level=2, source="here", ends=True)
    set_alarm_rule(ending, by=house.mo, at=MORNING + 2 * HOUR)

    _looked(house, MORNING + 3 * HOUR)

    assert _rules(alert) == set()


def test_the_number_of_queries_does_not_grow_with_the_waters(house: House, tan_kit: Method) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            assert _looked(house, MORNING) == []
        return len(queries)

    for number in range(2):
        logged(house, vessel_of(house, code=f"A-{number}"), tan_kit, "<0.1", at=NOON)
    few = asked()
    for number in range(2, 8):
        logged(house, vessel_of(house, code=f"A-{number}"), tan_kit, "<0.1", at=NOON)

    assert asked() == few
    assert Reading.objects.count() == 8
