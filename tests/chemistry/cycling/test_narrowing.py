"""The dates as they are told: nearer their median, and nothing else changed."""

from typing import Final

import numpy as np
import pytest

from chemistry.cycling.arrays import Floats
from chemistry.cycling.narrowing import SPREAD_KEPT, narrowed

NOW_H: Final = 168.0
DATES: Final[Floats] = NOW_H + 24.0 * np.exp(np.linspace(-1.0, 4.0, 101))


def test_logarithms_of_the_time_to_go_are_drawn_in_about_their_median() -> None:
    before, after = (np.log(dates - NOW_H) for dates in (DATES, narrowed(DATES, now_h=NOW_H)))

    assert np.median(after) == pytest.approx(np.median(before))
    assert after.std() == pytest.approx(SPREAD_KEPT * before.std())
    assert (np.diff(after) > 0.0).all()


def test_passes_now_and_never_stay() -> None:
    mixed = np.concatenate([[NOW_H] * 5, DATES, [np.inf] * 7])

    after = narrowed(mixed, now_h=NOW_H)

    assert np.count_nonzero(after == NOW_H) == 5
    assert np.isinf(after[-7:]).all()
    assert np.isfinite(after[:-7]).all()


@pytest.mark.parametrize("most", [NOW_H, np.inf])
def test_without_a_median_to_come_nothing_is_drawn_in(most: float) -> None:
    mixed = np.concatenate([[most] * 200, DATES])

    assert np.array_equal(narrowed(mixed, now_h=NOW_H), mixed)
