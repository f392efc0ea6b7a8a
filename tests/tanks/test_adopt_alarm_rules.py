"""A site that is older than some alarm rules gets them by an act, once, from then on."""

from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from facility.commands.places import OpenSite, open_site
from facility.models import Entry, Site
from facility.queries.proof import first_breach
from tanks.commands.alarm_adoption import AdoptAlarmRules, adopt_alarm_rules
from tanks.commands.alarm_rules import SetAlarmRule, set_alarm_rule
from tanks.models import AlarmRule
from tanks.queries.alarm_adoption import missing_rules
from tanks.queries.alarms import rules_at
from tanks.rules.alarm_defaults import EDITION, alarm_rules
from tests.cast import NOON, House

pytestmark = pytest.mark.django_db
SHIPPED = {one.code for one in alarm_rules()}


def _bare(house: House) -> Site:
    """A site as it was before there were alarm rules."""
    command = OpenSite(id=uuid4(), name="Low Mill", time_zone="Europe/Lisbon", jurisdiction="PT")
    return open_site(command, by=house.mo, at=NOON)


def _adopted(site: Site, house: House) -> list[AlarmRule]:
    command = AdoptAlarmRules(id=uuid4(), site_id=site.pk)
    return adopt_alarm_rules(command, by=house.mo, at=NOON)


def test_a_site_without_rules_gets_all_of_them_from_now_on(house: House) -> None:
    site = _bare(house)

    rules = _adopted(site, house)

    assert {rule.code for rule in rules} == SHIPPED
    assert {rule.period.lower for rule in AlarmRule.objects.filter(site=site)} == {NOON}
    assert {rule.code for rule in rules_at(site, at=NOON)} == SHIPPED
    assert Entry.objects.latest("pk").facts["edition"] == EDITION
    assert first_breach(site) is None


def test_adopted_twice_by_two_acts_each_rule_stands_once(house: House) -> None:
    site = _bare(house)
    _adopted(site, house)

    assert _adopted(site, house) == []
    assert AlarmRule.objects.filter(site=site).count() == len(SHIPPED)
    assert Entry.objects.filter(kind="tanks.adopt-alarm-rules").count() == 1


def test_a_rule_that_was_ended_or_set_anew_stays_as_the_site_has_it(house: House) -> None:
    ended = AlarmRule.objects.get(site=house.site, code="ph-fall")
    end = SetAlarmRule(id=uuid4(), rule_id=ended.pk, level=2, source="decided here", ends=True)
    set_alarm_rule(end, by=house.mo, at=NOON)

    assert missing_rules(house.site) == []
    assert _adopted(house.site, house) == []


def test_a_founded_site_lacks_none(house: House) -> None:
    assert missing_rules(house.site) == []


def test_the_page_of_rules_says_what_is_missing_and_a_manager_adopts_it(
    house: House, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    site = _bare(house)
    monkeypatch.setattr(timezone, "now", lambda: NOON)
    client.force_login(house.mo)
    address = f"/sites/{site.pk}/alarm-rules/"

    before = client.get("/alarm-rules/").content.decode()
    page = client.get(address).content.decode()
    answer = client.post(address, {"id": str(uuid4())})
    after = client.get("/alarm-rules/").content.decode()

    assert f'href="{address}"' in before
    assert f"{len(SHIPPED)} rules of the shipped edition ({EDITION})" in before
    assert "A hose or fill running past its time" in page
    assert answer.status_code == 303
    assert f'href="{address}"' not in after
    assert "Every shipped rule is set" in client.get(address).content.decode()
