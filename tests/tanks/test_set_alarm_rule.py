"""Alarm rules are the site's own data: shipped with a source, changed or ended by a manager."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest

from facility.models import Entry
from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotAllowed, NotFound
from tanks.commands.alarm_rules import (
    FigureUnfit,
    LevelOffScale,
    RuleEnded,
    SetAlarmRule,
    SourceMissing,
    set_alarm_rule,
)
from tanks.models import AlarmRule
from tanks.queries.alarms import rules_at
from tanks.rules.alarm_defaults import alarm_rules
from tanks.rules.alarms.figures import figures_of
from tanks.rules.alarms.judging import JUDGEMENTS
from tests.cast import NOON, House

LATER = NOON + timedelta(days=1)


def _rule(house: House, code: str = "ph-fall") -> AlarmRule:
    return AlarmRule.objects.get(site=house.site, code=code, period__contains=NOON)


def _change(rule: AlarmRule, **changes: Any) -> SetAlarmRule:
    told: dict[str, Any] = {
        "id": uuid4(),
        "rule_id": rule.pk,
        "level": 2,
        "source": "decided here",
        "figures": {"fall": 0.4},
    }
    return SetAlarmRule(**(told | changes))


def test_a_site_starts_with_every_shipped_rule_and_its_source(house: House) -> None:
    rules = list(AlarmRule.objects.filter(site=house.site))

    assert {rule.code for rule in rules} == {one.code for one in alarm_rules()}
    assert all(rule.source and rule.advice and rule.looks_for in JUDGEMENTS for rule in rules)
    assert not any(rule.is_verified for rule in rules if "from memory" in rule.source)


def test_every_figure_has_its_words_and_is_within_its_widest() -> None:
    for rule in alarm_rules():
        known = {one.name: one for one in figures_of(rule.figures, parameter=rule.parameter)}
        for name, value in rule.figures.items():
            if isinstance(value, int | float) and not isinstance(value, bool):
                assert known[name].low <= value <= known[name].high, (rule.code, name)


def test_other_figures_hold_from_now_on_and_the_old_ones_until_then(house: House) -> None:
    old = _rule(house)

    new = set_alarm_rule(_change(old), by=house.mo, at=LATER)

    assert (new.figures, new.title, new.code) == ({"fall": 0.4, "hours": 24}, old.title, old.code)
    before, after = (
        next(rule for rule in rules_at(house.site, at=at) if rule.code == "ph-fall")
        for at in (NOON, LATER)
    )
    assert (before.number("fall"), after.number("fall")) == (0.3, 0.4)
    assert first_breach(house.site) is None


def test_what_is_no_number_stays_with_the_rule(house: House) -> None:
    old = _rule(house, "nitrite-limit")

    new = set_alarm_rule(_change(old, figures={"readings": 1}), by=house.mo, at=LATER)

    assert new.figures["ladder"] == old.figures["ladder"]


def test_a_rule_is_ended_once(house: House) -> None:
    rule = _rule(house)

    for _ in range(2):
        set_alarm_rule(_change(rule, ends=True), by=house.mo, at=LATER)

    assert "ph-fall" not in {one.code for one in rules_at(house.site, at=LATER)}
    assert Entry.objects.filter(kind="tanks.set-alarm-rule").count() == 1
    assert first_breach(house.site) is None


def test_what_was_changed_cannot_be_changed_or_ended_again(house: House) -> None:
    old = _rule(house)
    set_alarm_rule(_change(old), by=house.mo, at=LATER)

    for again in (_change(old), _change(old, ends=True)):
        with pytest.raises(RuleEnded):
            set_alarm_rule(again, by=house.mo, at=LATER + timedelta(hours=1))


def test_one_id_names_one_change(house: House) -> None:
    command = _change(_rule(house))
    first = set_alarm_rule(command, by=house.mo, at=LATER)

    assert set_alarm_rule(command, by=house.mo, at=LATER) == first
    with pytest.raises(IdTaken):
        set_alarm_rule(_change(_rule(house), id=command.id, level=1), by=house.mo, at=LATER)


@pytest.mark.parametrize(
    ("changes", "refusal", "says"),
    [
        ({"figures": {"fall": -1}}, FigureUnfit, "Fall of at least: give 0.01 to 100."),
        ({"figures": {"fall": "much"}}, FigureUnfit, "Fall of at least"),
        ({"figures": {"fall": True}}, FigureUnfit, "Fall of at least"),
        ({"figures": {"fall": float("nan")}}, FigureUnfit, "Fall of at least"),
        ({"figures": {"ladder": []}}, FigureUnfit, "no figure ladder"),
        ({"level": 4}, LevelOffScale, "level 1"),
        ({"source": " "}, SourceMissing, "common practice"),
        ({"rule_id": uuid4()}, NotFound, "no such rule"),
    ],
)
def test_what_it_may_not_be(
    house: House, changes: dict[str, Any], refusal: type[Exception], says: str
) -> None:
    with pytest.raises(refusal, match=says):
        set_alarm_rule(_change(_rule(house), **changes), by=house.mo, at=LATER)


def test_only_a_manager_of_the_site(house: House) -> None:
    with pytest.raises(NotAllowed):
        set_alarm_rule(_change(_rule(house)), by=house.ana, at=LATER)
    with pytest.raises(NotFound):
        set_alarm_rule(_change(_rule(house)), by=house.bo, at=LATER)
