"""The descent on problems whose answer is known in closed form, or found by scipy."""

from collections.abc import Callable
from typing import Final

import numpy as np
import pytest
from scipy.optimize import least_squares

from chemistry.cycling.arrays import Floats
from chemistry.cycling.descent import Chains, descended
from chemistry.cycling.priors import NAMES

_PARAMETERS: Final = len(NAMES)
_READINGS: Final = 40
_RNG: Final = np.random.default_rng(3)
_SLOPES: Final = _RNG.normal(0.0, 0.5, (_READINGS, _PARAMETERS))
_READ: Final = _SLOPES @ _RNG.normal(0.0, 0.5, _PARAMETERS) + _RNG.normal(0.0, 0.3, _READINGS)


def _descend(distances: Callable[[Floats], Floats], *, stories: int = 1) -> tuple[Chains, int]:
    """Return the best chains, and how many points were looked at."""
    descent, looked = descended(stories), 0
    points = next(descent)
    while True:
        looked += points.at.shape[1]
        try:
            points = descent.send(distances(points.at))
        except StopIteration as end:
            return end.value, looked


def _straight(at: Floats) -> Floats:
    return _SLOPES @ at - _READ[:, None]


def _bent(at: Floats) -> Floats:
    """A curved valley in the first two parameters, every other one pulled to its prior."""
    x, y = at[:2]
    return np.stack([6.0 * (y - x**2 + 0.5), 2.0 * (x - 1.2)])


def test_straight_problem_ends_at_the_solution_of_its_normal_equations() -> None:
    """Ridge regression in closed form: (A'A + 1) x = A'b, curvature A'A + 1."""
    curvature = _SLOPES.T @ _SLOPES + np.eye(_PARAMETERS)

    best, _ = _descend(_straight)

    assert best.at[:, 0] == pytest.approx(np.linalg.solve(curvature, _SLOPES.T @ _READ), abs=1e-4)
    assert best.curvature[:, :, 0] == pytest.approx(curvature, abs=1e-6)


def test_bent_valley_ends_where_scipys_least_squares_does() -> None:
    # scipy.optimize.least_squares, the prior as further residuals
    def distances_and_prior(x: Floats) -> Floats:
        return np.append(_bent(x[:, None])[:, 0], x)

    theirs = least_squares(distances_and_prior, np.zeros(_PARAMETERS))

    best, _ = _descend(_bent)

    assert best.cost[0] == pytest.approx(2.0 * theirs.cost, abs=0.05)
    assert best.at[:2, 0] == pytest.approx(theirs.x[:2], abs=0.1)


def test_nothing_read_ends_at_the_prior() -> None:
    best, looked = _descend(lambda at: np.empty((0, at.shape[1])), stories=3)

    assert best.at == pytest.approx(np.zeros((_PARAMETERS, 3)), abs=1e-6)
    assert best.story.tolist() == [0, 1, 2]
    assert looked < 2000


def test_far_reading_pulls_no_harder_than_three_deviations() -> None:
    """Huber with k = 3 on one parameter: cost 3 (2 |r| - 3) + x**2 is least at x = 3."""
    best, _ = _descend(lambda at: 20.0 - at[:1])

    assert best.at[0, 0] == pytest.approx(3.0, abs=0.1)
