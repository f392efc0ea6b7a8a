"""Control rules; meanings after Table 1 of PMC3909142 (found), chances computed with scipy."""

import numpy as np
import pytest
from scipy import stats

from chemistry.domain import OutOfRange
from chemistry.westgard import Error, breaks

MEAN, S = 1.0, 0.1


def rules(scores: list[float], per_run: int = 1) -> list[tuple[str, int, int]]:
    readings = [MEAN + S * score for score in scores]
    found = breaks(readings, mean=MEAN, standard_deviation=S, per_run=per_run)
    return [(one.rule, one.first, one.last) for one in found]


@pytest.mark.parametrize(
    ("scores", "found"),
    [
        ([0.5, -1.5, 1.9], []),
        ([0.0, 2.5], [("1-2s", 1, 1)]),
        ([0.0, -3.5], [("1-3s", 1, 1)]),
        ([2.1, 2.2], [("1-2s", 0, 0), ("2-2s", 0, 1), ("1-2s", 1, 1)]),
        ([2.1, -2.2], [("1-2s", 0, 0), ("1-2s", 1, 1)]),
        ([1.1, 1.2, 1.1, 1.3, 1.1], [("4-1s", 0, 4)]),
        ([1.1, 1.2, 1.1, -1.3], []),
        ([0.2] * 10, [("10-x", 0, 9)]),
        ([0.2] * 9 + [0.0, 0.2], []),
    ],
)
def test_each_rule_is_told_where_it_is_broken(
    scores: list[float], found: list[tuple[str, int, int]]
) -> None:
    assert rules(scores) == found


def test_a_range_over_four_counts_only_across_both_sides_of_one_run() -> None:
    assert ("R-4s", 0, 1) in rules([2.1, -2.1], per_run=2)
    assert all(rule != "R-4s" for rule, *_ in rules([3.5, -1.0], per_run=2))
    assert all(rule != "R-4s" for rule, *_ in rules([0.0, 2.1, -2.1, 0.0], per_run=2))


def test_only_the_two_sigma_rule_is_a_warning() -> None:
    found = breaks([1.25, 1.35], mean=MEAN, standard_deviation=S)

    assert {one.rule: one.rejects for one in found} == {"1-2s": False, "1-3s": True, "2-2s": True}
    assert {one.error for one in found if one.rule == "2-2s"} == {Error.SYSTEMATIC}


@pytest.mark.parametrize(
    ("rule", "length", "chance"),
    [
        ("1-3s", 1, 2 * stats.norm.sf(3)),
        ("2-2s", 2, 2 * stats.norm.sf(2) ** 2),
        ("4-1s", 4, 2 * stats.norm.sf(1) ** 4),
        ("10-x", 10, 2 * 0.5**10),
    ],
)
def test_an_undisturbed_process_breaks_a_rule_as_rarely_as_the_normal_law_says(
    rule: str, length: int, chance: float
) -> None:
    windows = 40_000
    scores = np.random.default_rng(20).standard_normal((windows, length))
    alarms = sum(
        any(one.rule == rule for one in breaks(row, mean=0.0, standard_deviation=1.0))
        for row in scores.tolist()
    )

    spread = np.sqrt(windows * chance * (1 - chance))
    assert abs(alarms - windows * chance) < 4 * spread


def test_a_control_without_scatter_cannot_be_judged() -> None:
    with pytest.raises(OutOfRange, match="standard deviation"):
        breaks([1.0], mean=1.0, standard_deviation=0.0)
