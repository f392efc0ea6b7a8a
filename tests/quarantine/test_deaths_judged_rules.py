"""When deaths and refused feed call. Rules of thumb: common practice, no source."""

from collections.abc import Sequence
from datetime import timedelta
from typing import Any

import pytest

from facility.rules.alerts import Seen
from quarantine.rules.deaths_judged import judged
from quarantine.rules.deaths_known import (
    Act,
    Baseline,
    Dead,
    Known,
    Look,
    LotHere,
    Rule,
    Step,
)
from quarantine.rules.health_defaults import DEFAULTS
from tests.cast import NOON

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
CAME = NOON - 40 * DAY


def rule(code: str, **figures: Any) -> Rule:
    """One of the shipped rules, with other figures where they are named."""
    one = next(each for each in DEFAULTS if each.code == code)
    return Rule(
        code=one.code,
        title=one.title,
        looks_for=one.looks_for,
        level=one.level,
        level_elsewhere=one.level_elsewhere,
        figures=dict(one.figures) | figures,
        advice=one.advice,
        source=one.source,
    )


def dead(count: int, *, hours_ago: float, vessel: str = "Q-01", explained: bool = False) -> Dead:
    return Dead(
        key=f"quarantine.death:{hours_ago}",
        at=NOON - hours_ago * HOUR,
        vessel=vessel,
        count=count,
        is_explained=explained,
    )


def lot(*deaths: Dead, count: int = 200, looks: Sequence[Look] = ()) -> LotHere:
    gone = [Step(each.at, -each.count) for each in sorted(deaths, key=lambda one: one.at)]
    return LotHere(
        code="L-0001",
        species="Danio rerio",
        steps=(Step(CAME, count), *gone),
        deaths=tuple(sorted(deaths, key=lambda one: one.at)),
        looks=tuple(looks),
    )


def seen(code: str, *lots: LotHere, **more: Any) -> list[Seen]:
    figures = more.pop("figures", {})
    known = Known(at=NOON, is_quarantine=more.pop("is_quarantine", True), lots=lots, **more)
    return judged([rule(code, **figures)], known)


def test_three_of_200_in_a_day_are_more_than_the_baseline_explains() -> None:
    """Computed: P(X >= 3 | 200, 0.002) = 0.0078405; two of them come up in six of a hundred."""
    (one,) = seen("excess-day", lot(dead(3, hours_ago=2)))

    assert one.level == 1
    assert one.sentence == (
        "L-0001 Danio rerio lost 3 of 200 in 24 h. At the baseline of 0.2 % a day, the rule's "
        "figure, 0.4 are expected and as many or more come up with P = 0.0078; the rule calls "
        "from 3."
    )
    assert one.evidence == ("quarantine.death:2",)
    assert seen("excess-day", lot(dead(2, hours_ago=2))) == []


def test_the_sites_own_baseline_stands_in_for_the_rules_figure() -> None:
    usual = Baseline(share=0.01, says="1 % a day, this site's")

    assert seen("excess-day", lot(dead(3, hours_ago=2)), usual=usual) == []
    assert seen("excess-day", lot(dead(3, hours_ago=2)), usual=usual, figures={"own": 0})


def test_one_death_of_few_does_not_call_unless_the_site_wants_it() -> None:
    few = lot(dead(1, hours_ago=2), count=3)

    assert seen("excess-day", few) == []
    assert seen("excess-day", few, figures={"least": 1})


def test_a_weeks_deaths_are_held_against_animal_days() -> None:
    """By hand: 200 for 7 days at 0.2 % is a mean of 2.8; P(X >= 9) is 0.0024, P(X >= 10) 0.0007."""
    assert seen("excess-week", lot(*(dead(1, hours_ago=10 + 17 * n) for n in range(9)))) == []
    assert seen("excess-week", lot(*(dead(1, hours_ago=10 + 16 * n) for n in range(10))))


def test_more_than_two_percent_in_a_day_calls_and_says_how_often_that_is_chance() -> None:
    """4 of 200 are 2 %, not more."""
    assert seen("share-day", lot(dead(4, hours_ago=2))) == []
    (one,) = seen("share-day", lot(dead(2, hours_ago=2), count=60))
    assert "That is 3.33 %, over 2 %" in one.sentence
    assert "P = 0.0066" in one.sentence


def test_what_died_longer_ago_than_the_window_is_not_counted() -> None:
    assert seen("share-day", lot(dead(40, hours_ago=25))) == []


def test_who_came_in_the_window_was_at_risk_too() -> None:
    late = LotHere(
        code="L-0002",
        species="Danio rerio",
        steps=(Step(NOON - 3 * HOUR, 100), Step(NOON - HOUR, -2)),
        deaths=(dead(2, hours_ago=1),),
    )

    assert seen("share-day", late) == []
    assert late.at_risk(NOON - DAY, NOON) == 100


def test_three_without_a_cause_in_one_tank_call_whatever_their_lots() -> None:
    other = LotHere(
        code="L-0009", species="Corydoras", steps=(Step(CAME, 9),), deaths=(dead(1, hours_ago=30),)
    )
    two = lot(dead(2, hours_ago=20))

    (one,) = seen("unexplained", two, other)
    assert one.sentence.startswith("3 deaths in Q-01 within 7 days have no known cause")
    assert "L-0001, L-0009" in one.sentence
    assert (
        seen("unexplained", lot(dead(2, hours_ago=20), dead(1, hours_ago=9, vessel="Q-02"))) == []
    )
    assert seen("unexplained", lot(dead(3, hours_ago=20, explained=True))) == []


@pytest.mark.parametrize(("before", "today", "calls"), [(1, 2, 1), (2, 3, 0), (0, 5, 0), (3, 6, 1)])
def test_doubling_from_day_to_day(before: int, today: int, calls: int) -> None:
    deaths = [dead(count, hours_ago=hours) for count, hours in ((before, 30), (today, 3)) if count]

    assert len(seen("doubling", lot(*deaths))) == calls


def test_a_death_after_a_dose_is_told_with_its_hours() -> None:
    dose = Act(at=NOON - 20 * HOUR, what="a dose of copper")

    (one,) = seen("after-act", lot(dead(1, hours_ago=2)), acts=(dose,), is_quarantine=False)
    assert one.sentence == (
        "1 of L-0001 Danio rerio found dead in Q-01 18 h after a dose of copper."
    )
    assert one.level == 1
    assert seen("after-act", lot(dead(1, hours_ago=21)), acts=(dose,)) == []


def test_feed_refused_twice_running_is_watched() -> None:
    def looks(*feeding: str) -> list[Look]:
        return [
            Look(key=f"quarantine.observation:{n}", at=NOON - n * HOUR, vessel="Q-01", feeding=fed)
            for n, fed in reversed(list(enumerate(reversed(feeding))))
        ]

    assert seen("feed-refused", lot(looks=looks("REFUSED", "ATE", "REFUSED"))) == []
    (one,) = seen("feed-refused", lot(looks=looks("ATE", "REFUSED", "NOT_OFFERED", "REFUSED")))
    assert (one.level, one.sentence) == (
        3,
        "L-0001 Danio rerio in Q-01 refused feed 2 meals running.",
    )


def test_outside_quarantine_the_same_calls_more_quietly() -> None:
    deaths = lot(dead(9, hours_ago=2))

    assert [one.level for one in seen("share-day", deaths, is_quarantine=False)] == [2]


def test_every_shipped_rule_says_where_it_is_from_and_published_ones_wait_to_be_selected() -> None:
    assert all(one.source for one in DEFAULTS)
    assert {one.code for one in DEFAULTS if not one.is_on} == {
        "salmon-week",
        "salmon-five-weeks",
        "small-salmon-week",
        "small-salmon-five-weeks",
        "marine-ornamental-chain",
    }


@pytest.mark.parametrize(
    ("code", "deaths", "calls"),
    [
        ("small-salmon-week", 14, 0),
        ("small-salmon-week", 16, 1),
        ("salmon-week", 11, 1),
        ("salmon-five-weeks", 42, 0),
        ("salmon-five-weeks", 43, 1),
    ],
)
def test_the_published_salmon_thresholds_as_rules(code: str, deaths: int, calls: int) -> None:
    """T18: small fish 1.4 % a week no, 1.6 % yes; large 1.1 % yes, 4 % in five weeks no."""
    days = 5 if code.endswith("five-weeks") else 1
    size = 1000 if days == 1 else 1050

    assert len(seen(code, lot(dead(deaths, hours_ago=24 * days), count=size))) == calls
