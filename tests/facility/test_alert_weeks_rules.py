"""Counting a week of alerts. Targets: common practice, no source; 5 a shift, 30 % for nothing."""

from uuid import UUID, uuid4

from facility.rules.alert_weeks import Ended, records_of, weeks_of

ANA, MO = uuid4(), uuid4()


def _ended(rule: str, *, person: UUID = ANA, action_needed: bool) -> Ended:
    return Ended(person=person, rules=frozenset([rule]), action_needed=action_needed)


def test_calls_are_weighed_by_shifts() -> None:
    week = weeks_of({ANA: 11, MO: 10}, {ANA: 2, MO: 2}, [])

    assert (week[ANA].per_shift, week[ANA].is_too_often) == (5.5, True)
    assert (week[MO].per_shift, week[MO].is_too_often) == (5.0, False)


def test_who_was_called_without_a_shift_is_measured_as_on_one() -> None:
    week = weeks_of({ANA: 6}, {}, [])

    assert (week[ANA].per_shift, week[ANA].is_too_often) == (None, True)


def test_a_third_for_nothing_asks_for_new_figures_once_there_are_enough() -> None:
    some = [_ended("ph-fall", action_needed=one) for one in (True, True, False)]
    few = [_ended("tan-limit", action_needed=False) for _ in range(2)]
    most = [_ended("oxygen-limit", action_needed=one > 2) for one in range(10)]

    found = {one.rule: one.asks_for_new_figures for one in records_of([*some, *few, *most])}

    assert found == {"ph-fall": True, "tan-limit": False, "oxygen-limit": False}


def test_the_worst_rule_comes_first() -> None:
    told = [_ended("a", action_needed=True), _ended("b", action_needed=False)]

    assert [one.rule for one in records_of(told)] == ["b", "a"]
