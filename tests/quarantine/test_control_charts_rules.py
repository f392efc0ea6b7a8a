"""The chart of shares against Montgomery's cans of orange juice, fifty to a sample.

Sums, limits and points outside: found; the single counts: from memory, and they give the sums.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from quarantine.rules.control_charts import TAIL, gap_chart, share_chart

# fmt: off
CANS = (
    12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22,
    8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9, 6,
)
# fmt: on


def test_thirty_samples_give_the_printed_limits() -> None:
    """T13."""
    found = share_chart(CANS, [50] * 30)

    assert found is not None
    assert sum(CANS) == 347
    assert found.centre == pytest.approx(0.231333, abs=5e-7)
    assert found.points[0].normal_upper == pytest.approx(0.410239, abs=5e-7)
    assert found.points[0].normal_lower == pytest.approx(0.052428, abs=5e-7)
    outside = [at + 1 for at, point in enumerate(found.points) if point.is_outside_normal]
    assert outside == [15, 23]


def test_without_those_two_sample_21_stands_out() -> None:
    """T14."""
    kept = [(at + 1, can) for at, can in enumerate(CANS) if at + 1 not in {15, 23}]

    found = share_chart([can for _, can in kept], [50] * 28)

    assert found is not None
    assert found.centre == pytest.approx(0.2150, abs=5e-7)
    assert found.points[0].normal_upper == pytest.approx(0.389297, abs=5e-7)
    assert found.points[0].normal_lower == pytest.approx(0.040703, abs=5e-7)
    outside = [kept[at][0] for at, point in enumerate(found.points) if point.is_outside_normal]
    assert outside == [21]


def test_a_lower_limit_below_nothing_is_nothing() -> None:
    """The sum of the next 24 samples, 133, found; their limits computed."""
    found = share_chart([133], [24 * 50])

    assert found is not None
    assert found.centre == pytest.approx(0.11083, abs=5e-6)
    even = share_chart([6] * 24, [50] * 24, centre=133 / 1200)
    assert even is not None
    assert even.points[0].normal_upper == pytest.approx(0.24402, abs=5e-6)
    assert even.points[0].normal_lower == 0.0


def test_small_tanks_get_wider_limits_than_the_normal_law_gives() -> None:
    """Ten fish, 0.2 % usual: one death lies beyond three deviations and is still usual."""
    found = share_chart([1], [10], centre=0.002)

    assert found is not None
    assert found.points[0].is_outside_normal
    assert not found.points[0].is_outside


def test_samples_need_not_be_equal_and_empty_ones_are_left_out() -> None:
    found = share_chart([1, 0, 4], [100, 0, 50])

    assert found is not None
    assert found.centre == pytest.approx(5 / 150)
    assert [point.size for point in found.points] == [100, 50]
    assert share_chart([0], [0]) is None


def test_long_without_a_death_stands_out_among_short_gaps() -> None:
    """By hand: mean 2, P(gap > g) = (2/3)^(g + 1) is at most 0.00135 first at g = 16."""
    short = [2, 1, 3, 2, 2, 1, 3, 2]

    found = gap_chart(short)

    assert found is not None
    assert (found.centre, found.upper, found.outside) == (2.0, 16, ())
    longer = gap_chart([*[1] * 40, 40])
    assert longer is not None
    assert longer.outside == (40,)
    assert gap_chart([3]) is None


@given(
    usual=st.floats(0.001, 0.5),
    size=st.integers(1, 400),
)
def test_what_lies_outside_is_as_rare_as_promised(usual: float, size: int) -> None:
    chart = share_chart([0], [size], centre=usual)

    assert chart is not None
    upper = round(chart.points[0].upper * size)
    assert binom.sf(upper, size, usual) <= TAIL
    lower = round(chart.points[0].lower * size)
    assert binom.cdf(lower - 1, size, usual) < TAIL
