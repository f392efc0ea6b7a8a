"""Rates, falls, rises together with something else: what must sound and what must not.

Figures of the rules as shipped: common practice, no source, unless named in the rule itself.
"""

from datetime import timedelta

import pytest

from tanks.rules.alarms.known import Act
from tests.cast import NOON
from tests.tanks.watching import DAY, HOUR, known, point, series, shipped, signs


@pytest.mark.parametrize(
    ("rise_c", "hours", "sounds"), [(2.2, 2, True), (0.9, 1, False), (3, 5, False), (-2.5, 2, True)]
)
def test_temperature_moving_faster_than_one_degree_an_hour(
    rise_c: float, hours: int, *, sounds: bool
) -> None:
    water = known(
        point("TEMPERATURE", 25.0, NOON - hours * HOUR), point("TEMPERATURE", 25.0 + rise_c, NOON)
    )

    found = signs(shipped("temperature-rate"), water)

    assert [sign.level for sign in found] == ([1] if sounds else [])


def test_two_thermometers_within_ten_minutes_are_no_rate() -> None:
    water = known(
        point("TEMPERATURE", 25.0, NOON - timedelta(minutes=5)), point("TEMPERATURE", 25.6, NOON)
    )

    assert signs(shipped("temperature-rate"), water) == []


def test_the_touch_pool_that_warmed_between_two_checks_is_heard_by_its_rate() -> None:
    # Press reports of a loss: 10 °F (5.6 °C) between a check at 03:00 and one at 07:00-08:00.
    water = known(point("TEMPERATURE", 24.0, NOON - 4.5 * HOUR), point("TEMPERATURE", 29.6, NOON))

    [sign] = signs(shipped("temperature-rate"), water)

    assert "rose from 24 degC to 29.6 degC in 4 h, 1.24 °C an hour" in sign.sentence


@pytest.mark.parametrize(
    ("was", "now", "sounds"), [(25, 27, True), (25, 26.9, False), (25, 24, True)]
)
def test_temperature_in_a_day_two_up_or_one_down(was: float, now: float, *, sounds: bool) -> None:
    water = known(point("TEMPERATURE", was, NOON - DAY), point("TEMPERATURE", now, NOON))

    assert bool(signs(shipped("temperature-day"), water)) is sounds


def test_a_change_of_last_month_says_nothing_today() -> None:
    old = known(*series("TEMPERATURE", [25, 28]), at=NOON + 30 * HOUR)

    assert signs(shipped("temperature-day"), old) == []


@pytest.mark.parametrize(("fell_to", "sounds"), [(7.1, True), (7.3, False), (7.8, False)])
def test_ph_fall_in_fresh_water(fell_to: float, *, sounds: bool) -> None:
    water = known(point("PH", 7.5, NOON - 20 * HOUR), point("PH", fell_to, NOON))

    assert bool(signs(shipped("ph-fall"), water)) is sounds


def test_ph_rising_while_tan_is_present_is_a_matter_of_now() -> None:
    ph = series("PH", [7.6, 7.9])

    [sign] = signs(shipped("ph-rising-with-tan"), known(*ph, point("TAN", 0.5, NOON)))

    assert sign.level == 1
    assert sign.sentence == ("pH rose from 7.6 pH to 7.9 pH in 24 h while TAN reads 0.5 mg/L as N.")


def test_ph_rising_without_tan_or_during_a_start_up_is_not() -> None:
    ph, rule = series("PH", [7.6, 7.9]), shipped("ph-rising-with-tan")

    assert signs(rule, known(*ph)) == []
    assert signs(rule, known(*ph, point("TAN", (0.0, 0.1), NOON))) == []
    assert signs(rule, known(*ph, point("TAN", 0.5, NOON - 5 * DAY))) == []
    assert signs(rule, known(*ph, point("TAN", 0.5, NOON), stage="CYCLING")) == []


def test_warming_while_tan_is_present() -> None:
    # 24 to 30 °C makes 1.5 times as much of it un-ionised.
    warm = series("TEMPERATURE", [25, 26.2])
    rule = shipped("temperature-rising-with-tan")

    assert [sign.level for sign in signs(rule, known(*warm, point("TAN", 0.5, NOON)))] == [2]
    assert signs(rule, known(*warm, point("TAN", 0.05, NOON))) == []


def test_nitrite_rising_with_no_tan_and_not_with_some() -> None:
    rising, rule = series("NITRITE", [0.1, 0.3]), shipped("nitrite-rising-without-tan")

    assert [s.level for s in signs(rule, known(*rising, point("TAN", (0, 0.1), NOON)))] == [2]
    assert signs(rule, known(*rising, point("TAN", 1.0, NOON))) == []
    assert signs(rule, known(*rising)) == []


def test_alkalinity_down_by_thirty_per_cent_in_a_week() -> None:
    rule = shipped("alkalinity-fall")

    assert signs(rule, known(*series("ALKALINITY", [2.0, 1.4], every=6 * DAY)))
    assert signs(rule, known(*series("ALKALINITY", [2.0, 1.5], every=6 * DAY))) == []
    assert signs(rule, known(*series("ALKALINITY", [2.0, 1.4], every=9 * DAY))) == []


def test_a_start_up_is_meant_to_use_up_alkalinity() -> None:
    # 0.143 meq for each mg of nitrogen oxidised; its limit still holds.
    fall = series("ALKALINITY", [2.5, 1.5], every=3 * DAY)

    assert signs(shipped("alkalinity-fall"), known(*fall, stage="CYCLING")) == []


def test_salinity_that_nothing_logged_explains() -> None:
    moved, rule = series("SALINITY", [34.0, 35.2], every=20 * HOUR), shipped("salinity-day")

    assert [sign.level for sign in signs(rule, known(*moved))] == [2]
    assert signs(rule, known(*series("SALINITY", [34.0, 34.8], every=20 * HOUR))) == []


@pytest.mark.parametrize(("hours_before", "sounds"), [(2, False), (30, False), (40, True)])
def test_a_logged_cause_explains_a_change_for_as_long_as_the_rule_says(
    hours_before: int, *, sounds: bool
) -> None:
    changed = Act(kind="water-change", at=NOON - hours_before * HOUR)
    moved = series("SALINITY", [34.0, 35.2], every=20 * HOUR)

    found = signs(shipped("salinity-day"), known(*moved, acts=(changed,)))

    assert bool(found) is sounds


def test_what_was_fed_explains_no_salinity_and_what_came_later_explains_nothing() -> None:
    moved = series("SALINITY", [34.0, 35.2], every=20 * HOUR)
    fed, late = Act(kind="feeding", at=NOON - HOUR), Act(kind="dose", at=NOON + HOUR)

    assert signs(shipped("salinity-day"), known(*moved, acts=(fed,)))
    assert signs(shipped("salinity-day"), known(*moved, acts=(late,), at=NOON + 2 * HOUR))


def test_brackets_that_overlap_have_not_moved() -> None:
    water = known(point("PH", (7.4, 7.8), NOON - 20 * HOUR), point("PH", (7.0, 7.4), NOON))

    assert signs(shipped("ph-fall"), water) == []


def test_nitrate_gaining_twice_its_usual_is_listed() -> None:
    rule = shipped("nitrate-gain")
    usual = [5.0, 6.0, 7.1, 8.0, 9.0]

    [sign] = signs(rule, known(*series("NITRATE", [*usual, 12.0])))
    steady = signs(rule, known(*series("NITRATE", [*usual, 10.9])))

    assert sign.level == 3
    assert sign.sentence == "Nitrate gained 3 mg/L as N a day lately, against 1 usually."
    assert steady == []


def test_a_gain_across_a_water_change_is_no_gain() -> None:
    points = series("NITRATE", [5.0, 6.0, 7.0, 8.0, 11.0])
    changed = Act(kind="water-change", at=NOON - 12 * HOUR)

    assert signs(shipped("nitrate-gain"), known(*points))
    assert signs(shipped("nitrate-gain"), known(*points, acts=(changed,))) == []


def test_temperature_off_its_own_usual_and_moving_away() -> None:
    rule, fortnight = shipped("temperature-off-usual"), [25.0, 25.2, 24.9, 25.1, 25.0, 25.0]

    [sign] = signs(rule, known(*series("TEMPERATURE", [*fortnight, 26.4])))
    coming_back = signs(rule, known(*series("TEMPERATURE", [*fortnight, 27.0, 26.2])))
    near = signs(rule, known(*series("TEMPERATURE", [*fortnight, 25.9])))
    new = signs(rule, known(*series("TEMPERATURE", [25.0, 25.0, 27.0])))

    assert (sign.level, coming_back, near, new) == (1, [], [], [])
    assert "is 1.4 °C above its usual 25 °C, and moving away" in sign.sentence
