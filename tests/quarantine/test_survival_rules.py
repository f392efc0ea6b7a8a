"""Survival against the textbook's remission data (Freireich and others 1963, Blood 21, 699).

Data from memory; they give the textbook's values. Errors, median and test computed with
lifelines 0.30.3 outside this product.
"""

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import CensoredData, ecdf

from quarantine.rules.survival import Lives, compare, curve

TREATED = (
    *(Lives(days=week, count=1, died=True) for week in (6, 6, 6, 7, 10, 13, 16, 22, 23)),
    *(
        Lives(days=week, count=1, died=False)
        for week in (6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35)
    ),
)
PLACEBO = tuple(
    Lives(days=week, count=1, died=True)
    for week in (1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23)
)
PRINTED = (
    (6, 21, 3, 0.8571, 0.0764),
    (7, 17, 1, 0.8067, 0.0869),
    (10, 15, 1, 0.7529, 0.0963),
    (13, 12, 1, 0.6902, 0.1068),
    (16, 11, 1, 0.6275, 0.1141),
    (22, 7, 1, 0.5378, 0.1282),
    (23, 6, 1, 0.4482, 0.1346),
)


def test_the_textbook_table() -> None:
    found = curve(TREATED)

    assert found is not None
    assert [(s.days, s.at_risk, s.deaths) for s in found.steps] == [row[:3] for row in PRINTED]
    assert [s.share for s in found.steps] == pytest.approx([r[3] for r in PRINTED], abs=5e-5)
    assert [s.error for s in found.steps] == pytest.approx([r[4] for r in PRINTED], abs=5e-5)
    assert found.steps[-1].share == pytest.approx(0.448179, abs=5e-7)
    assert found.median_days == 23
    assert (found.animals, found.deaths, found.censored) == (21, 9, 12)


def test_the_other_group_falls_to_nothing() -> None:
    found = curve(PLACEBO)

    assert found is not None
    assert found.median_days == 8
    assert found.steps[-1].share == 0.0


def test_the_two_differ_by_the_log_rank_test() -> None:
    """T12."""
    found = compare(TREATED, PLACEBO)

    assert found is not None
    assert found.chi_square == pytest.approx(16.7929, abs=5e-5)
    assert found.probability == pytest.approx(4.1688e-5, rel=1e-4)


def test_the_bounds_are_those_of_scipy() -> None:
    days = [each.days for each in TREATED]
    reference = ecdf(CensoredData.right_censored(days, [not each.died for each in TREATED])).sf
    bounds: Any = reference.confidence_interval(method="log-log")
    found = curve(TREATED)

    assert found is not None
    for step in found.steps:
        place = int(np.flatnonzero(reference.quantiles == step.days)[0])
        assert step.low == pytest.approx(float(bounds.low.probabilities[place]))
        assert step.high == pytest.approx(float(bounds.high.probabilities[place]))


def test_the_sold_are_neither_survivors_nor_deaths() -> None:
    """Ten animals, five sold on day 2, one dead on day 3: one of five, not one of ten."""
    found = curve(
        [
            Lives(days=2, count=5, died=False),
            Lives(days=3, count=1, died=True),
            Lives(days=9, count=4, died=False),
        ]
    )

    assert found is not None
    assert [step.share for step in found.steps] == pytest.approx([0.8])


def test_without_deaths_there_is_nothing_to_step_down() -> None:
    found = curve([Lives(days=5, count=3, died=False)])

    assert found is not None
    assert (found.steps, found.median_days) == ((), None)
    assert curve([]) is None
    assert compare([Lives(days=5, count=3, died=False)], TREATED[-2:]) is None


@given(
    st.lists(
        st.builds(
            Lives,
            days=st.integers(1, 40).map(float),
            count=st.integers(1, 30),
            died=st.booleans(),
        ),
        min_size=1,
        max_size=20,
    )
)
def test_a_curve_only_falls_and_stays_within_its_bounds(lives: list[Lives]) -> None:
    found = curve(lives)

    assert found is not None
    shares = [1.0, *(step.share for step in found.steps)]
    assert shares == sorted(shares, reverse=True)
    assert all(step.low <= step.share + 1e-12 <= step.high + 2e-12 for step in found.steps)
    assert sum(step.deaths for step in found.steps) == found.deaths
