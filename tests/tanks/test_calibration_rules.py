"""How good forecasts were: held intervals, exact shares, and the start-ups that never passed."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from tanks.rules.binomial import share_interval
from tanks.rules.calibration import FEWEST, Outcome, Stated, day_score, held


def stated(*, never: float = 0.1, **hours: float | None) -> Stated:
    usual: dict[str, float | None] = {
        "p05": 200.0,
        "p10": 240.0,
        "p25": 300.0,
        "p50": 360.0,
        "p75": 420.0,
        "p90": 480.0,
        "p95": 520.0,
    }
    return Stated(ready_at_h=usual | hours, never=never, horizon_h=1800.0)


def passed(hour: float, *, not_ready: float | None = None, is_seeded: bool = True) -> Outcome:
    """Read over the limit a day before, unless told otherwise."""
    before = hour - 24.0 if not_ready is None else not_ready
    return Outcome(passed_h=hour, not_ready_h=before, known_h=hour, is_seeded=is_seeded)


def given_up(hour: float, *, not_ready: float | None = None) -> Outcome:
    before = hour - 24.0 if not_ready is None else not_ready
    return Outcome(passed_h=None, not_ready_h=before, known_h=hour, is_seeded=True)


@given(count=st.integers(1, 60), data=st.data())
def test_exact_interval_is_the_one_of_scipy(count: int, data: st.DataObject) -> None:
    """scipy.stats.binomtest, exact (computed with SciPy)."""
    hits = data.draw(st.integers(0, count))

    low, high = share_interval(hits=hits, of=count)

    exact = binomtest(hits, count).proportion_ci(method="exact")
    assert low == pytest.approx(exact.low, abs=1e-9)
    assert high == pytest.approx(exact.high, abs=1e-9)


def test_undecided_widen_the_interval_to_both_sides() -> None:
    low, high = share_interval(hits=4, of=10, at_most_hits=7)

    assert low == share_interval(hits=4, of=10)[0]
    assert high == share_interval(hits=7, of=10)[1]


@pytest.mark.parametrize(
    ("outcome", "came"),
    [
        (passed(239.0), "early"),
        (passed(240.0), "inside"),
        (passed(480.0), "inside"),
        (passed(600.0), "late"),
        (passed(600.0, not_ready=400.0), "undecided"),
        (given_up(500.0), "undecided"),
        (given_up(506.0), "late"),
        (given_up(900.0, not_ready=0.0), "undecided"),
    ],
)
def test_interval_holds_what_came_and_is_missed_by_what_never_came(
    outcome: Outcome, came: str
) -> None:
    assert held(stated(), outcome, level=80) == came


def test_interval_that_runs_past_the_horizon_is_not_missed_by_giving_up() -> None:
    assert held(stated(p90=None), given_up(1700.0), level=80) == "undecided"


def test_start_ups_that_never_passed_stay_in_every_share() -> None:
    score = day_score(7, [(stated(), passed(360.0)), (stated(never=0.2), given_up(900.0))])

    shares = {share.level: (share.inside, share.count) for share in score.shares}
    assert shares == {50: (1, 2), 80: (1, 2), 90: (1, 2)}
    assert (score.passed, score.unfinished, score.never_said) == (1, 1, 0.2)


def test_error_stands_beside_the_rule_of_14_and_42_days() -> None:
    """Off by hand: middles on day 15, passes on day 20 and 12; the rule says 14 and 42."""
    pairs = [(stated(), passed(480.0)), (stated(), passed(288.0, is_seeded=False))]

    score = day_score(7, pairs)

    assert score.error_d == pytest.approx((5 + 3) / 2)
    assert score.bias_d == pytest.approx((5 - 3) / 2)
    assert score.rule_error_d == pytest.approx((6 + 30) / 2)


def test_rule_never_names_a_day_that_has_gone_by() -> None:
    score = day_score(21, [(stated(), passed(24.0 * 25))])

    assert score.rule_error_d == pytest.approx(4.0)


def test_middle_past_the_horizon_is_off_by_what_lies_before_it() -> None:
    score = day_score(3, [(stated(p50=None, p75=None), passed(1560.0))])

    assert score.error_d == pytest.approx(10.0)


def _eight_in_ten(*, inside: int, missed: int) -> Any:
    pairs = [(stated(), passed(360.0))] * inside + [(stated(), passed(900.0))] * missed
    return day_score(7, pairs).shares[1]


def test_few_forecasts_tell_nothing_however_they_did() -> None:
    assert _eight_in_ten(inside=0, missed=FEWEST - 1).says == "too few to tell"


@pytest.mark.parametrize(
    ("inside", "missed", "says"),
    [
        (8, 2, "nothing against it"),
        (3, 9, "too narrow"),
        (40, 0, "too wide"),
        (12, 0, "nothing against it"),
    ],
)
def test_share_is_judged_by_its_exact_interval(inside: int, missed: int, says: str) -> None:
    """Clopper and Pearson: 3 of 12 is at most 57 %, 40 of 40 at least 91 %, 12 of 12 74 %."""
    assert _eight_in_ten(inside=inside, missed=missed).says == says


def test_nothing_said_has_no_error() -> None:
    score = day_score(7, [(stated(), given_up(900.0))])

    assert (score.error_d, score.rule_error_d, score.bias_d) == (None, None, None)
