"""When a challenge passes. A 24-hour pass is common practice, no source (trade vocabulary)."""

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tanks.rules.proof import Judgement, judge
from tests.cast import NOON
from tests.tanks.weighed import DAY, HOUR, below, read, trial_of

END = NOON + 24 * HOUR


def state_of(judgement: Judgement, code: str) -> str:
    return next(one.state for one in judgement.findings if one.code == code)


def test_everything_proven_is_a_pass() -> None:
    judgement = judge(trial_of())

    assert judgement.passed
    assert judgement.load_mg_l_n == 2.0
    assert judgement.why_not == ""


@pytest.mark.parametrize(
    ("minutes", "state"), [(29, "not-met"), (30, "met"), (120, "met"), (121, "not-met")]
)
def test_start_is_read_after_mixing_and_before_much_is_eaten(minutes: int, state: str) -> None:
    start = read("TAN", 2.0, at=NOON + timedelta(minutes=minutes))

    assert state_of(judge(trial_of(start=start)), "start-reached") == state


@pytest.mark.parametrize(
    ("low", "high", "state"),
    [(1.8, 1.8, "met"), (1.79, 1.79, "not-met"), (1.0, 2.0, "unknown"), (5.0, None, "met")],
)
def test_start_reaches_the_load_within_a_photometers_ten_per_cent(
    low: float, high: float | None, state: str
) -> None:
    start = read("TAN", low, high, at=NOON + HOUR)

    assert state_of(judge(trial_of(start=start)), "start-reached") == state


def test_what_is_certified_is_what_was_measured_and_never_more_than_the_target() -> None:
    short = judge(trial_of(start=read("TAN", 1.85, at=NOON + HOUR)))
    over = judge(trial_of(start=read("TAN", 2.6, at=NOON + HOUR)))

    assert (short.load_mg_l_n, over.load_mg_l_n) == (1.85, 2.0)


@pytest.mark.parametrize(
    ("low", "high", "state"),
    [
        (0.0, 0.25, "met"),
        (0.25, 0.25, "met"),
        (0.26, 0.26, "not-met"),
        (0.0, 0.5, "unknown"),
        (0.1, 0.5, "unknown"),
        (0.25, 0.5, "not-met"),
        (5.0, None, "not-met"),
    ],
)
@pytest.mark.parametrize("name", ["tan", "nitrite"])
def test_below_detection_counts_only_when_detection_reaches_the_limit(
    name: str, low: float, high: float | None, state: str
) -> None:
    end = read(name.upper(), low, high, at=END)

    judgement = judge(trial_of(**{name: end}))

    assert state_of(judgement, f"{name}-cleared") == state
    assert judgement.passed is (state == "met")


@pytest.mark.parametrize(
    ("hours", "state"), [(21.9, "not-met"), (22, "met"), (26, "met"), (26.1, "not-met")]
)
def test_the_end_is_read_two_hours_either_way_of_the_window(hours: float, state: str) -> None:
    tan = below("TAN", 0.1, at=NOON + hours * HOUR)

    assert state_of(judge(trial_of(tan=tan)), "tan-cleared") == state


def test_a_high_reading_past_the_hour_is_not_undone_by_a_lower_one() -> None:
    high = read("TAN", 0.8, at=END + 0.5 * HOUR)
    around = (read("PH", 7.9, at=END), high)

    judgement = judge(trial_of(around=around, tan=below("TAN", 0.1, at=END + 1.5 * HOUR)))

    assert state_of(judgement, "tan-cleared") == "not-met"


@pytest.mark.parametrize(
    ("low", "high", "state"),
    [(6.5, 6.5, "met"), (6.4, 6.4, "not-met"), (0.0, 6.5, "not-met"), (6.2, 6.8, "unknown")],
)
def test_ph_keeps_the_floor(low: float, high: float, state: str) -> None:
    around = (read("PH", 7.9, at=NOON + HOUR), read("PH", low, high, at=END))

    assert state_of(judge(trial_of(around=around)), "ph-kept") == state


def test_without_a_ph_reading_nobody_knows() -> None:
    judgement = judge(trial_of(around=()))

    assert state_of(judgement, "ph-kept") == "unknown"
    assert not judgement.passed


def test_a_withdrawn_dose_or_reading_is_no_proof() -> None:
    assert not judge(trial_of(dose_stands=False)).passed
    for name in ("start", "tan", "nitrite"):
        assert not judge(trial_of(**{name: None})).passed


def test_exchanged_water_is_no_proof() -> None:
    judgement = judge(trial_of(disturbances=("200 L of water were changed.",)))

    assert not judgement.passed
    assert judgement.why_not == "200 L of water were changed."


def test_nitrate_only_adds_a_note() -> None:
    """2 mg/L-N cleared makes 2 mg/L-N of nitrate: 8.85 mg/L as NO3, by atomic masses."""
    flat = (read("NITRATE", 5.0, at=NOON), read("NITRATE", 5.2, at=END), read("PH", 8.0, at=END))
    risen = (read("NITRATE", 5.0, at=NOON), read("NITRATE", 7.0, at=END), read("PH", 8.0, at=END))

    doubtful, plausible = judge(trial_of(around=flat)), judge(trial_of(around=risen))

    assert doubtful.passed
    assert "look at the nitrate test" in doubtful.notes[0]
    assert plausible.notes == ("Nitrate rose by a plausible amount.",)


@pytest.mark.parametrize(
    ("start", "tan", "against"),
    [(2.0, 0.8, True), (2.0, 0.1, False), (2.2, 0.8, True), (4.0, 0.8, False)],
)
def test_a_fair_load_left_over_speaks_against_the_filter(
    start: float, tan: float, *, against: bool
) -> None:
    trial = trial_of(
        start=read("TAN", start, at=NOON + HOUR), tan=read("TAN", tan, at=NOON + 24 * HOUR)
    )

    assert judge(trial).left_over is against


@given(st.floats(0, 10), st.floats(0, 10), st.floats(0, 1))
def test_a_higher_end_reading_never_turns_no_pass_into_a_pass(
    first: float, more: float, nitrite: float
) -> None:
    lower = judge(
        trial_of(tan=read("TAN", first, at=END), nitrite=below("NITRITE", nitrite, at=END))
    )
    higher = judge(
        trial_of(tan=read("TAN", first + more, at=END), nitrite=below("NITRITE", nitrite, at=END))
    )

    assert lower.passed or not higher.passed


@given(st.floats(-3, 3))
def test_a_pass_needs_the_right_day(days: float) -> None:
    tan = below("TAN", 0.1, at=NOON + days * DAY)

    passed = judge(trial_of(tan=tan)).passed

    assert passed is (abs(days * 24 - 24) <= 2)
