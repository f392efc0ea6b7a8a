"""The next step: common practice, no source; start-up steps follow the site's policy."""

import pytest

from tanks.rules import next_step
from tanks.rules.limits import UNIONISED, Bound, Read
from tanks.rules.values import Interval
from tests.tanks.test_meaning_rules import bound, judged, read
from tests.tanks.weighed import terms_of

# The shipped policy: dose 2 when TAN is at most 0.5 and nitrite at most 2 mg/L as N, cap 5.
TERMS = terms_of()


def starting(*reads: Read) -> str:
    return next_step.starting_up({one.parameter: one for one in reads}, TERMS).sentence


@pytest.mark.parametrize(
    ("tan", "nitrite", "words"),
    [
        (Interval(0.5, 0.5), Interval(2, 2), "Dose ammonium chloride for 2 mg/L as N"),
        (Interval(0, 0.25), Interval(0, 0.25), "Dose ammonium chloride"),
        (Interval(0.6, 0.6), Interval(0, 0.25), "Wait; read TAN"),
        (Interval(0.25, 1), Interval(0, 0.25), "Wait; read TAN"),
        (Interval(0, 0.25), Interval(2, 5), "Wait; read nitrite"),
        (Interval(0, 0.25), Interval(5, None), "Wait; read nitrite"),
        (Interval(6, 6), Interval(0, 0.25), "Add no ammonia"),
    ],
)
def test_a_start_up_waits_until_both_are_low(tan: Interval, nitrite: Interval, words: str) -> None:
    reads = (read("TAN", tan.low, tan.high), read("NITRITE", nitrite.low, nitrite.high))

    assert words in starting(*reads)


def test_a_start_up_without_readings_asks_for_them() -> None:
    assert starting() == "Read TAN and nitrite."
    assert starting(read("TAN", 1.0)) == "Read nitrite."


def test_alkalinity_comes_before_the_next_dose() -> None:
    low = (read("TAN", 0.1), read("NITRITE", 0.1), read("ALKALINITY", 1.0))
    enough = (read("TAN", 0.1), read("NITRITE", 0.1), read("ALKALINITY", 2.0))

    assert "Raise alkalinity above 2 meq/L" in starting(*low)
    assert "Dose" in starting(*enough)


def with_nitrite(value_mg_l_n: float, *bounds: Bound) -> str:
    return next_step.with_animals(judged(read("NITRITE", value_mg_l_n), bounds=bounds)).sentence


@pytest.mark.parametrize(
    ("times", "words"), [(1.5, "Feed half"), (2.5, "Feed nothing"), (6.0, "Stop feeding")]
)
def test_steps_grow_with_how_far_a_limit_is_passed(times: float, words: str) -> None:
    assert words in with_nitrite(0.2 * times, bound("NITRITE", high=0.2))


def test_nothing_pressing_goes_on_and_nothing_read_asks_for_readings() -> None:
    assert "Go on as planned" in with_nitrite(0.1, bound("NITRITE", high=0.2))
    assert next_step.with_animals(judged()).sentence.startswith("Read TAN")


def test_what_presses_most_decides() -> None:
    found = judged(
        read("OXYGEN", 2.5),
        read("NITRITE", 0.25),
        bounds=(
            bound("OXYGEN", low=3.0, level=1, advice="Aerate now."),
            bound("NITRITE", high=0.2),
            bound(UNIONISED, high=0.02),
        ),
    )

    assert next_step.with_animals(found).sentence == "Aerate now."
