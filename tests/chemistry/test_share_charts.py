"""The chart of a share against Montgomery's cans of orange juice, fifty to a sample.

Sums, limits and points outside: found; the single counts: from memory, and they give the sums.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.domain import OutOfRange
from chemistry.share_charts import share_limits

# fmt: off
CANS = (
    12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22,
    8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9, 6,
)
# fmt: on


def test_thirty_samples_give_the_printed_limits() -> None:
    found = share_limits(CANS, size=50)

    assert sum(CANS) == 347
    assert found.centre == pytest.approx(0.23133, abs=5e-6)
    assert found.upper == pytest.approx(0.41024, abs=5e-6)
    assert found.lower == pytest.approx(0.05243, abs=5e-6)
    assert [at + 1 for at in found.outside] == [15, 23]


def test_without_those_two_sample_21_stands_out() -> None:
    kept = [can for at, can in enumerate(CANS) if at + 1 not in {15, 23}]

    found = share_limits(kept, size=50)

    assert found.centre == pytest.approx(0.2150, abs=5e-5)
    assert found.upper == pytest.approx(0.38930, abs=5e-6)
    assert found.lower == pytest.approx(0.04070, abs=5e-6)
    # Sample 21 of the full list is the twentieth of those kept.
    assert found.outside == (19,)


@given(counts=st.lists(st.integers(0, 20), min_size=2, max_size=30), size=st.integers(20, 100))
def test_limits_are_shares_around_their_centre(counts: list[int], size: int) -> None:
    found = share_limits(counts, size=size)

    assert 0.0 <= found.lower <= found.centre <= found.upper <= 1.0


@pytest.mark.parametrize(("counts", "size"), [((1, 51), 50), ((-1, 2), 50), ((1,), 50)])
def test_more_than_all_and_less_than_none_are_refused(counts: tuple[int, ...], size: int) -> None:
    with pytest.raises(OutOfRange):
        share_limits(counts, size=size)
