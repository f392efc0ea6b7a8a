"""Rules about deaths: adopted once, changed by a manager, and unfit figures refused."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest

from facility.models import Entry
from facility.refusals import NotAllowed, NotFound
from quarantine.commands import health_rules
from quarantine.commands.health_rules import (
    AdoptHealthRules,
    SetHealthRule,
    adopt_health_rules,
    set_health_rule,
)
from quarantine.models import HealthRule
from quarantine.queries.health_rules import missing_rules, rules_in_force, selected
from quarantine.rules.health_defaults import DEFAULTS
from tests.cast import NOON, House

HOUR = timedelta(hours=1)
pytestmark = pytest.mark.django_db


def _adopted(house: House) -> list[HealthRule]:
    command = AdoptHealthRules(id=uuid4(), site_id=house.site.pk)
    return adopt_health_rules(command, by=house.mo, at=NOON)


def _set(rule: HealthRule, **changes: Any) -> SetHealthRule:
    told: dict[str, Any] = {
        "id": uuid4(),
        "rule_id": rule.pk,
        "level": 2,
        "level_elsewhere": 3,
        "is_on": True,
        "source": "Our veterinarian, 2026",
    }
    return SetHealthRule(**(told | changes))


def test_a_site_that_set_nothing_is_called_as_shipped(house: House) -> None:
    assert {rule.code for rule in selected(house.site, at=NOON)} == {
        one.code for one in DEFAULTS if one.is_on
    }


def test_adopted_rules_are_rows_and_adopted_again_there_is_nothing_left(house: House) -> None:
    rows = _adopted(house)
    before = Entry.objects.count()

    assert len(rows) == len(DEFAULTS)
    assert missing_rules(house.site) == []
    assert _adopted(house) == []
    assert Entry.objects.count() == before


def test_a_changed_rule_goes_on_with_other_figures_and_keeps_the_old(house: House) -> None:
    rule = next(each for each in _adopted(house) if each.code == "excess-day")
    command = _set(rule, figures={"rare": 0.005})

    row = set_health_rule(command, by=house.mo, at=NOON + HOUR)

    assert set_health_rule(command, by=house.mo, at=NOON + 2 * HOUR) == row
    assert (row.figures["rare"], row.figures["days"]) == (0.005, 1)
    assert len(rules_in_force(house.site, at=NOON + HOUR)) == len(DEFAULTS)
    rule.refresh_from_db()
    assert rule.period.upper == NOON + HOUR
    with pytest.raises(health_rules.HealthRuleEnded):
        set_health_rule(_set(rule), by=house.mo, at=NOON + 2 * HOUR)


def test_unfit_figures_levels_and_sources_are_refused(house: House) -> None:
    rule = next(each for each in _adopted(house) if each.code == "share-day")
    for changes, refusal, field in (
        ({"figures": {"share": 2.0}}, health_rules.HealthFigureUnfit, "share"),
        ({"figures": {"rare": 0.01}}, health_rules.HealthFigureUnfit, "rare"),
        ({"level": 4}, health_rules.HealthLevelUnfit, "level"),
        ({"source": " "}, health_rules.HealthSourceMissing, "source"),
    ):
        with pytest.raises(refusal) as refused:
            set_health_rule(_set(rule, **changes), by=house.mo, at=NOON)
        assert refused.value.field == field


def test_only_managers_set_rules(house: House) -> None:
    rule, *_ = _adopted(house)
    with pytest.raises(NotFound):
        set_health_rule(_set(rule), by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        set_health_rule(_set(rule), by=house.ana, at=NOON)
