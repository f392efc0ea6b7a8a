"""Readings beyond a limit: when they sound, when they are back, and that they never flap.

Figures as shipped: two readings or 30 minutes, a dead band of a fifth; common practice, no source.
"""

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tanks.rules.alarms.persistence import Patience, Way, sounds
from tests.cast import NOON
from tests.tanks.watching import HOUR, bound, known, later, point, series, shipped, signs

TAN = bound("TAN", high=0.25)
MINUTE = timedelta(minutes=1)


def test_one_reading_beyond_a_limit_of_today_waits_for_a_second_or_for_half_an_hour() -> None:
    water = known(point("TAN", 0.5, NOON), bounds=(TAN,))
    rule = shipped("tan-limit")

    assert signs(rule, water) == []
    assert signs(rule, later(water, 29 * MINUTE)) == []
    [sign] = signs(rule, later(water, 30 * MINUTE))
    assert sign.level == 2
    assert sign.sentence == "Total ammonia nitrogen 0.5 mg/L as N (A-01) is above 0.25."
    assert (sign.advice, sign.source) == ("Act by the limit.", "here")


def test_two_readings_beyond_it_sound_at_once() -> None:
    water = known(point("TAN", 0.5, NOON - 5 * MINUTE), point("TAN", 0.4, NOON), bounds=(TAN,))

    [sign] = signs(shipped("tan-limit"), water)

    assert len(sign.evidence) == 2


def test_a_retest_within_the_limit_is_heard_before_anybody_is_called() -> None:
    water = known(point("TAN", 0.5, NOON - 20 * MINUTE), point("TAN", 0.1, NOON), bounds=(TAN,))

    assert signs(shipped("tan-limit"), later(water, 3 * HOUR)) == []


def test_a_limit_that_asks_for_action_now_does_not_wait() -> None:
    # 3 mg/L: US EPA 440/5-86-003 (1986), one-day minimum for other life stages, warm water.
    oxygen = bound("OXYGEN", low=3.0, level=1, advice="Aerate now.")
    water = known(point("OXYGEN", 2.8, NOON), bounds=(oxygen,))

    [sign] = signs(shipped("oxygen-limit"), water)

    assert (sign.level, sign.advice) == (1, "Aerate now.")
    assert "below 3" in sign.sentence


def test_the_more_pressing_of_two_limits_is_the_one_said() -> None:
    limits = (bound("OXYGEN", low=6.0), bound("OXYGEN", low=3.0, level=1))
    low = known(point("OXYGEN", 2.8, NOON - HOUR), point("OXYGEN", 2.9, NOON), bounds=limits)

    assert [sign.level for sign in signs(shipped("oxygen-limit"), low)] == [1]


def test_a_reading_just_inside_the_limit_does_not_end_what_stands() -> None:
    risen = [point("TAN", value, NOON - n * HOUR) for n, value in ((3, 0.5), (2, 0.5))]
    inside = point("TAN", 0.24, NOON)

    [sign] = signs(shipped("tan-limit"), known(*risen, inside, bounds=(TAN,)))
    back = signs(shipped("tan-limit"), known(*risen, point("TAN", 0.2, NOON), bounds=(TAN,)))

    assert sign.sentence.endswith("Last read 0.24 mg/L as N: not yet clearly back.")
    assert back == []


def test_below_detection_is_as_far_back_as_a_kit_can_tell() -> None:
    # A kit that reads from 0.25 mg/L, against a limit of 0.061 (0.2 mg/L as NO2 of the UK text).
    nitrite = bound("NITRITE", high=0.061)
    risen = [point("NITRITE", 0.5, NOON - n * HOUR) for n in (3, 2)]

    clear = known(*risen, point("NITRITE", (0.0, 0.25), NOON), bounds=(nitrite,))

    assert signs(shipped("nitrite-limit"), clear) == []


def test_a_bracket_that_holds_the_limit_neither_begins_nor_ends_anything() -> None:
    open_question = point("TAN", (0.2, 0.5), NOON)
    risen = [point("TAN", 0.6, NOON - n * HOUR) for n in (3, 2)]

    assert signs(shipped("tan-limit"), later(known(open_question, bounds=(TAN,)), HOUR)) == []
    assert len(signs(shipped("tan-limit"), known(*risen, open_question, bounds=(TAN,)))) == 1


def test_nitrate_is_only_listed_and_watch_limits_call_nobody() -> None:
    # A fixed nitrate limit is among the alarms people learn to ignore: common practice, no source.
    high = series("NITRATE", [20, 21])
    nitrate = signs(shipped("nitrate-limit"), known(*high, bounds=(bound("NITRATE", high=11.3),)))
    warm = series("TEMPERATURE", [27, 27])
    usual = bound("TEMPERATURE", low=24, high=26, level=3)

    assert [sign.level for sign in nitrate] == [3]
    assert signs(shipped("temperature-limit"), known(*warm, bounds=(usual,))) == []


@pytest.mark.parametrize(
    ("tan_mg_l_n", "level", "advice"),
    [
        (0.2, None, ""),
        (0.7, 2, "Feed a quarter less"),
        (0.9, 2, "Feed half as much"),
        (1.2, 2, "Stop feeding"),
    ],
)
def test_un_ionised_ammonia_climbs_the_feeding_ladder(
    tan_mg_l_n: float, level: int | None, advice: str
) -> None:
    # Emerson et al. 1975, table: 5.38 % is un-ionised at pH 8.0 and 25 °C, so 0.011, 0.038, 0.048
    # and 0.065 mg/L as N. The rungs 0.033, 0.041 and 0.058 are 0.04, 0.05 and 0.07 as NH3.
    moments = (NOON - HOUR, NOON)
    points = [
        point(name, value, at)
        for at in moments
        for name, value in (("TAN", tan_mg_l_n), ("PH", 8.0), ("TEMPERATURE", 25.0))
    ]
    limit = bound("UNIONISED_AMMONIA", high=0.0165)  # 0.02 mg/L as NH3

    found = signs(shipped("unionised-ammonia-limit"), known(*points, bounds=(limit,)))

    assert [sign.level for sign in found] == ([] if level is None else [level])
    assert all(sign.advice.startswith(advice) for sign in found)


def test_un_ionised_ammonia_needs_readings_of_about_one_time() -> None:
    apart = [
        point("TAN", 1.0, NOON),
        point("PH", 8.4, NOON - 72 * HOUR),
        point("TEMPERATURE", 27.0, NOON),
    ]
    limit = bound("UNIONISED_AMMONIA", high=0.0165, level=1)

    assert signs(shipped("unionised-ammonia-limit"), known(*apart, bounds=(limit,))) == []


def test_a_rule_may_have_limits_of_its_own() -> None:
    rule = shipped("alkalinity-limit", low=1.0)  # 50 mg/L as CaCO3
    water = known(*series("ALKALINITY", [0.9, 0.8]))

    [sign] = signs(rule, water)

    assert sign.sentence == "Alkalinity 0.8 meq/L (A-01) is below 1 meq/L."


def test_a_rule_of_another_water_or_stage_is_silent() -> None:
    fall = series("PH", [7.6, 7.2], every=12 * HOUR)

    assert len(signs(shipped("ph-fall"), known(*fall))) == 1
    assert signs(shipped("ph-fall"), known(*fall, kind="MARINE")) == []


WAYS = st.lists(st.sampled_from(list(Way)), max_size=40)
PATIENCE = Patience(readings=2, lasting=30 * MINUTE)


def _told(ways: list[Way], *, upto: int) -> bool:
    marks = [(NOON + n * 10 * MINUTE, way) for n, way in enumerate(ways[:upto])]
    return sounds(marks, PATIENCE, at=NOON + upto * 10 * MINUTE)


@given(WAYS)
def test_what_sounds_ends_only_with_a_reading_that_is_back(ways: list[Way]) -> None:
    told = [_told(ways, upto=n) for n in range(len(ways) + 1)]

    for n, (before, after) in enumerate(pairwise(told)):
        if before and not after:
            assert ways[n] is Way.BACK


@given(st.lists(st.floats(-0.049, 0.049), min_size=2, max_size=40))
def test_noise_within_the_dead_band_sounds_once_and_stays(noise: list[float]) -> None:
    # The limit is 0.25 and the band a fifth of it: readings between 0.201 and 0.299 never flap.
    points = [point("TAN", 0.25 + one, NOON + n * HOUR) for n, one in enumerate(noise)]
    whole = known(*points, bounds=(TAN,))
    rule = shipped("tan-limit")

    told = [
        bool(
            signs(
                rule,
                replace(whole, at=points[n].at, points={"TAN": whole.points["TAN"][: n + 1]}),
            )
        )
        for n in range(len(points))
    ]

    assert told == sorted(told)
