"""Columns chosen, joined and cast: nothing but the columns may change."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.cycling.columns import WIDEST, batches, taken
from chemistry.cycling.members import Members
from tests.chemistry.cycling.startups import prior_members, promising_case


def _members(count: int, *, seed: int = 1) -> Members:
    return prior_members(count=count, case=promising_case(), seed=seed)


def test_joined_members_come_apart_again() -> None:
    one, other = _members(5), _members(3, seed=2)

    both = Members.joined([one, other])

    assert np.array_equal(both.of(slice(0, 5)).kinetics.kappa, one.kinetics.kappa)
    assert np.array_equal(both.of(np.arange(5, 8)).kinetics.half_mg_l_n, other.kinetics.half_mg_l_n)
    assert np.array_equal(both.of(np.arange(8) > 4).inoculation, other.inoculation)


def test_rows_of_chosen_columns_lie_in_one_piece() -> None:
    """A row scattered in memory doubles the time of every step."""
    rows = np.arange(12.0).reshape(2, 6)

    for chosen in (np.array([4, 0, 0]), rows[0] > 2):
        assert taken(rows, chosen).flags.c_contiguous
        assert np.array_equal(taken(rows, chosen), rows[:, chosen])


def test_single_precision_leaves_whole_numbers_whole() -> None:
    double, single = _members(4), _members(4).cast(np.float32)
    growth = single.kinetics.growth_per_d

    assert growth.dtype == np.float32
    assert single.inoculation.dtype == np.int64
    assert growth == pytest.approx(double.kinetics.growth_per_d, rel=1e-6)


@given(widths=st.lists(st.integers(1, WIDEST + 5), max_size=30))
def test_batches_keep_the_order_and_are_not_too_wide(widths: list[int]) -> None:
    found = list(batches(range(len(widths)), widths=widths))

    assert [place for batch in found for place in batch] == list(range(len(widths)))
    assert all(
        len(batch) == 1 or sum(widths[place] for place in batch) <= WIDEST for batch in found
    )
