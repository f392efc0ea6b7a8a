"""A site adopts the shipped rules of stays, and sets its own in their place."""

from dataclasses import replace
from typing import Any
from uuid import uuid4

import pytest
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange
from django.test import Client

from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound
from quarantine.commands.stay_rules import (
    AdoptStayRules,
    ChoiceUnknown,
    DaysMissing,
    FigureOffScale,
    SetStayPolicy,
    StaysAdopted,
    StaysNotAdopted,
    adopt_stay_rules,
    set_stay_policy,
    set_stay_rule,
)
from quarantine.models import LifeCycle, StayPolicy, StayRule
from quarantine.queries.stay_rules import stay_rules_at
from quarantine.rules.stay_defaults import LIFE_CYCLES, POLICY, rules_for
from tanks.commands.policies import SourceMissing
from tests.cast import NOON, House
from tests.contracts.stay_acts import to_set_stay_policy, to_set_stay_rule
from tests.quarantine.ready import AT
from tests.quarantine.staying import DAY


def test_until_it_adopts_any_the_shipped_ones_stand_in(house: House) -> None:
    known = stay_rules_at(house.site, at=NOON)

    assert not known.is_adopted
    assert known.rules == tuple(rules_for("PT"))
    assert (known.policy, known.cycles) == (POLICY, LIFE_CYCLES)


def test_adopted_they_say_the_same_with_their_sources(house: House) -> None:
    before = stay_rules_at(house.site, at=NOON)
    command = AdoptStayRules(id=uuid4(), site_id=house.site.pk)

    first, again = (adopt_stay_rules(command, by=house.mo, at=NOON) for _ in range(2))

    after = stay_rules_at(house.site, at=NOON)
    assert first == again
    assert after.is_adopted
    assert set(after.rules) == set(before.rules)
    assert (after.policy, set(after.cycles)) == (before.policy, set(before.cycles))
    assert LifeCycle.objects.count() == len(LIFE_CYCLES)
    assert Entry.objects.filter(kind="quarantine.adopt-stay-rules").count() == 1
    with pytest.raises(StaysAdopted):
        adopt_stay_rules(replace(command, id=uuid4()), by=house.mo, at=NOON)


def test_a_rule_replaces_the_one_for_the_same_and_no_other(house: House) -> None:
    command = replace(to_set_stay_rule(house), group="", water_kind="")
    before = StayRule.objects.count()

    rule = set_stay_rule(command, by=house.vera, at=AT)

    assert set_stay_rule(command, by=house.vera, at=AT) == rule
    then, now = (stay_rules_at(house.site, at=at) for at in (AT - DAY, AT + DAY))
    assert len(then.rules) == len(now.rules) == before
    assert 35 in {one.days for one in now.rules}
    assert 35 not in {one.days for one in then.rules}
    with pytest.raises(IdTaken):
        set_stay_rule(replace(command, days=36), by=house.vera, at=AT)


def test_a_policy_holds_from_when_it_is_set(house: House) -> None:
    set_stay_policy(to_set_stay_policy(house), by=house.vera, at=AT)

    assert stay_rules_at(house.site, at=AT).policy.on_treatment == "RESET"
    assert stay_rules_at(house.site, at=AT - DAY).policy.on_treatment == POLICY.on_treatment
    assert StayPolicy.objects.count() == 2


def test_each_refusal_names_its_field(house: House) -> None:
    rule = to_set_stay_rule(house)
    policy = SetStayPolicy(id=uuid4(), site_id=house.site.pk, **_figures())
    for wrong, refusal, field in (
        (replace(rule, purpose="WHIM"), ChoiceUnknown, "purpose"),
        (replace(rule, group="BIRD"), ChoiceUnknown, "group"),
        (replace(rule, water_kind="ICE"), ChoiceUnknown, "water_kind"),
        (replace(rule, days=0), DaysMissing, "days"),
        (replace(rule, source=" "), SourceMissing, "source"),
    ):
        with pytest.raises(refusal) as refused:
            set_stay_rule(wrong, by=house.mo, at=AT)
        assert refused.value.field == field
    for unsound, other, field in (
        (replace(policy, on_death="SHRUG"), ChoiceUnknown, "on_death"),
        (replace(policy, first_feed_percent=0), FigureOffScale, "first_feed_percent"),
        (replace(policy, source=""), SourceMissing, "source"),
    ):
        with pytest.raises(other) as refused:
            set_stay_policy(unsound, by=house.mo, at=AT)
        assert refused.value.field == field


def test_only_those_who_decide_set_them_and_only_once_adopted(house: House) -> None:
    rule = to_set_stay_rule(house)
    refused = {house.ana: NotAllowed, house.hale: NotAllowed, house.bo: NotFound}
    for person, refusal in refused.items():
        with pytest.raises(refusal):
            set_stay_rule(rule, by=person, at=AT)
    StayPolicy.objects.filter(site=house.site).update(period=DateTimeTZRange(AT + DAY, None))
    with pytest.raises(StaysNotAdopted):
        set_stay_rule(rule, by=house.mo, at=AT)


def test_the_pages_show_sources_and_set_anew(house: House, client: Client) -> None:
    client.force_login(house.mo)
    page = client.get("/stays/rules/").content.decode()
    assert "not verified" in page
    assert "Circular 920" in page
    assert (
        client.post(f"/sites/{house.site.pk}/stays/adopt/", {"id": str(uuid4())}).status_code == 303
    )
    told = {
        "id": str(uuid4()),
        "purpose": "QUARANTINE",
        "group": "CORAL",
        "water_kind": "MARINE",
        "days": "76",
        "source": "The house's own",
    }

    answer = client.post(f"/sites/{house.site.pk}/stays/rule/", told)

    assert answer.status_code == 303
    assert "76" in client.get("/stays/rules/").content.decode()
    assert client.get(f"/sites/{house.site.pk}/stays/policy/").status_code == 200
    wrong = client.post(f"/sites/{house.site.pk}/stays/rule/", told | {"days": "many"})
    assert wrong.status_code == 422


def _figures() -> dict[str, Any]:
    names = set(SetStayPolicy.__dataclass_fields__) - {"id", "site_id"}
    return {name: getattr(POLICY, name) for name in names}
