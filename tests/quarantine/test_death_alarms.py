"""From a death in the book to the water's one alert, and what explains it."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from facility.commands.ledger import key_of
from facility.models import Alert
from facility.queries.alerts import signs_now
from facility.sockets.telling import words_for
from quarantine.commands.deaths import WithdrawDeath, withdraw_death
from quarantine.commands.health_rules import (
    AdoptHealthRules,
    SetHealthRule,
    adopt_health_rules,
    set_health_rule,
)
from quarantine.models import HealthRule
from quarantine.queries.baselines import own_baseline
from tanks.commands.watching import watch
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.facility.alerting import cleared
from tests.quarantine.dying import arrived, died, examined, looked
from tests.tanks.estate import opened, system_of, vessel_of

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
LATER = NOON + 5 * DAY
pytestmark = pytest.mark.django_db


@pytest.fixture
def system(house: House) -> Vessel:
    """A system with two tanks open to it."""
    core = system_of(house, code="QS")
    for code in ("Q-01", "Q-02"):
        opened(house, vessel_of(house, code=code), core)
    return core


def _tank(house: House, code: str) -> Vessel:
    return Vessel.objects.get(site=house.site, code=code)


def _rules(house: House) -> set[str]:
    """Names of the rules that see something now, without whom they see it of."""
    alerts = Alert.objects.filter(site=house.site, cleared_at=None)
    return {
        sign.rule.partition(":")[0] for alert in alerts for sign in signs_now(alert) if sign.source
    }


def test_deaths_raise_one_alert_for_the_whole_water(house: House, system: Vessel) -> None:
    first, second = _tank(house, "Q-01"), _tank(house, "Q-02")
    one, two = arrived(house, first), arrived(house, second)
    died(house, one, first, at=LATER - HOUR, count=5)
    died(house, two, second, at=LATER - HOUR, count=5)

    watch(house.site, at=LATER)

    (alert,) = Alert.objects.filter(site=house.site, cleared_at=None)
    assert alert.about == key_of(system)
    told = {sign.rule for sign in signs_now(alert)}
    assert {"excess-day:L-0001", "excess-day:L-0002", "share-day:L-0001"} <= told
    assert {"unexplained:Q-01", "unexplained:Q-02"} <= told
    assert alert.level == 1
    again = watch(house.site, at=LATER + timedelta(minutes=5))
    assert [each.pk for each in again] == [alert.pk]


def test_a_cause_told_covers_these_deaths_and_not_the_next(house: House) -> None:
    tank = vessel_of(house, code="Q-01")
    lot = arrived(house, tank)
    died(house, lot, tank, at=LATER - HOUR, count=5)
    (alert,) = watch(house.site, at=LATER)
    cleared(house, alert, at=LATER)

    assert watch(house.site, at=LATER + HOUR) == []
    died(house, lot, tank, at=LATER + 2 * HOUR)
    (fresh,) = watch(house.site, at=LATER + 2 * HOUR)

    assert fresh.pk != alert.pk


def test_a_necropsy_explains_and_a_withdrawal_takes_back(house: House) -> None:
    tank = vessel_of(house, code="Q-01")
    lot = arrived(house, tank, count=2000)
    deaths = [died(house, lot, tank, at=LATER - n * DAY) for n in (1, 2, 3)]
    watch(house.site, at=LATER)
    assert _rules(house) == {"unexplained"}

    examined(house, deaths[0], at=LATER, cause="PARASITE")
    watch(house.site, at=LATER)
    assert _rules(house) == set()

    extra = died(house, lot, tank, at=LATER + HOUR)
    watch(house.site, at=LATER + HOUR)
    assert _rules(house) == {"unexplained"}
    command = WithdrawDeath(id=uuid4(), death_id=extra.pk, reason="It was asleep")
    withdraw_death(command, by=house.ana, at=LATER + 2 * HOUR)
    watch(house.site, at=LATER + 2 * HOUR)
    assert _rules(house) == set()


def test_feed_refused_twice_is_watched_from_two_looks(house: House) -> None:
    tank = vessel_of(house, code="Q-01")
    arrived(house, tank)
    for hours in (30, 6):
        looked(house, tank, at=LATER - hours * HOUR, feeding="REFUSED")

    (alert,) = watch(house.site, at=LATER)

    assert (_rules(house), alert.level) == ({"feed-refused"}, 3)


def test_what_a_sign_rests_on_is_told_in_words(house: House) -> None:
    tank = vessel_of(house, code="Q-01")
    lot = arrived(house, tank)
    death = died(house, lot, tank, at=LATER, count=5)
    look = looked(house, tank, at=LATER, feeding="REFUSED", signs=("SPOTS",))

    told = words_for([("quarantine.death", death.pk), ("quarantine.observation", look.pk)])

    assert told["quarantine.death", death.pk] == "5 of L-0001 found dead in Q-01, not known"
    assert told["quarantine.observation", look.pk] == "Look at Q-01: refused, spots"


def test_animals_taken_for_a_test_alarm_nobody(house: House) -> None:
    tank = vessel_of(house, code="Q-01")
    lot = arrived(house, tank, count=40)
    died(house, lot, tank, at=LATER, kind="EUTHANISED", cause="TEST", count=10)

    assert watch(house.site, at=LATER) == []


def test_a_rule_that_is_switched_off_sees_nothing_and_a_published_one_can_be_selected(
    house: House,
) -> None:
    tank = vessel_of(house, code="Q-01")
    lot = arrived(house, tank, count=1000)
    died(house, lot, tank, at=LATER - 3 * DAY, count=12, cause="JUMPED")
    rules = adopt_health_rules(
        AdoptHealthRules(id=uuid4(), site_id=house.site.pk), by=house.mo, at=NOON
    )
    salmon = next(rule for rule in rules if rule.code == "salmon-week")
    watch(house.site, at=LATER)
    assert _rules(house) == set()

    selected = _switch(house, salmon, is_on=True, at=LATER)
    watch(house.site, at=LATER)
    assert _rules(house) == {"salmon-week"}
    _switch(house, selected, is_on=False, at=LATER + HOUR)
    watch(house.site, at=LATER + HOUR)
    assert _rules(house) == set()


def _switch(house: House, rule: HealthRule, *, is_on: bool, at: datetime) -> HealthRule:
    command = SetHealthRule(
        id=uuid4(),
        rule_id=rule.pk,
        level=rule.level,
        level_elsewhere=rule.level_elsewhere,
        is_on=is_on,
        source=rule.source,
    )
    return set_health_rule(command, by=house.mo, at=at)


def test_the_sites_own_baseline_is_deaths_over_animal_days(house: House) -> None:
    """100 animals for 90 days less the days lost: 6 deaths a fortnight apart."""
    tank = vessel_of(house, code="Q-01")
    lot = arrived(house, tank, count=100)
    now = NOON + 97 * DAY
    for n in range(6):
        died(house, lot, tank, at=NOON + (7 + 14 * n) * DAY)

    found = own_baseline(house.site, at=now)

    lost = sum(90 - (7 + 14 * n) for n in range(6))
    assert found is not None
    assert found.share == pytest.approx(6 / (9000 - lost))
    assert own_baseline(house.site, at=NOON + 12 * DAY) is None


def test_many_tanks_are_watched_in_as_many_queries_as_few(house: House) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as found:
            watch(house.site, at=LATER)
        return len(found)

    tank = vessel_of(house, code="Q-01")
    arrived(house, tank)
    few = queries()
    for n in range(2, 6):
        arrived(house, vessel_of(house, code=f"Q-0{n}"))

    assert queries() == few
