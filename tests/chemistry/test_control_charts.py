"""Shewhart constants recomputed with scipy from the distribution of the range, and printed ones.

Printed: A2, D3, D4, d2 for n = 2-10 in two public tables (found); ISO 7870-2 itself was not seen.
"""

import numpy as np
import pytest
from scipy import integrate, stats

from chemistry.control_charts import (
    D2,
    D3_OF_RANGE,
    c4,
    individuals,
    mean_and_deviation,
    mean_and_range,
)
from chemistry.domain import OutOfRange

# n: A2, A3, B3, B4, c4, d2, D3, D4, E2.
PRINTED = {
    2: (1.880, 2.659, 0, 3.267, 0.7979, 1.128, 0, 3.267, 2.659),
    3: (1.023, 1.954, 0, 2.568, 0.8862, 1.693, 0, 2.575, 1.772),
    4: (0.729, 1.628, 0, 2.266, 0.9213, 2.059, 0, 2.282, 1.457),
    5: (0.577, 1.427, 0, 2.089, 0.9400, 2.326, 0, 2.115, 1.290),
    6: (0.483, 1.287, 0.030, 1.970, 0.9515, 2.534, 0, 2.004, 1.184),
    7: (0.419, 1.182, 0.118, 1.882, 0.9594, 2.704, 0.076, 1.924, 1.109),
    8: (0.373, 1.099, 0.185, 1.815, 0.9650, 2.847, 0.136, 1.864, 1.054),
    9: (0.337, 1.032, 0.239, 1.761, 0.9693, 2.970, 0.184, 1.816, 1.010),
    10: (0.308, 0.975, 0.284, 1.716, 0.9727, 3.078, 0.223, 1.777, 0.975),
}


@pytest.mark.parametrize("size", range(2, 11))
def test_mean_and_deviation_of_the_range_are_those_of_its_distribution(size: int) -> None:
    mean, _ = integrate.quad(
        lambda x: 1 - stats.norm.cdf(x) ** size - stats.norm.sf(x) ** size, -9, 9
    )
    z = np.linspace(-9.0, 9.0, 1201)
    reach = np.linspace(0.0, 13.0, 2601)
    inside = stats.norm.cdf(z[:, None] + reach) - stats.norm.cdf(z)[:, None]
    below = size * np.trapezoid(stats.norm.pdf(z)[:, None] * inside ** (size - 1), z, axis=0)
    mean_square = np.trapezoid(2 * reach * (1 - below), reach)

    assert D2[size] == pytest.approx(mean, abs=2e-6)
    assert D3_OF_RANGE[size] == pytest.approx(np.sqrt(mean_square - mean**2), abs=2e-5)


@pytest.mark.parametrize("size", range(2, 11))
def test_c4_is_the_mean_of_chi(size: int) -> None:
    assert c4(size) == pytest.approx(stats.chi.mean(size - 1) / np.sqrt(size - 1), rel=1e-9)


# Groups whose mean range, or mean standard deviation, is 1 and whose grand mean is 0 lay the
# constants bare. At n = 6 an array shifted by one would show 1.924 for D4.
@pytest.mark.parametrize("size", PRINTED)
def test_limits_are_the_printed_constants(size: int) -> None:
    a2, a3, b3, b4, _, _, d3, d4, _ = PRINTED[size]
    group = np.linspace(-0.5, 0.5, size)
    by_range = mean_and_range([group.tolist()] * 3)
    by_deviation = mean_and_deviation([(group / group.std(ddof=1)).tolist()] * 3)

    assert by_range.level.upper == pytest.approx(a2, abs=1e-3)
    assert by_range.scatter.lower == pytest.approx(d3, abs=1e-3)
    assert by_range.scatter.upper == pytest.approx(d4, abs=1e-3)
    assert by_deviation.level.upper == pytest.approx(a3, abs=1e-3)
    assert by_deviation.scatter.lower == pytest.approx(b3, abs=1e-3)
    assert by_deviation.scatter.upper == pytest.approx(b4, abs=1e-3)


@pytest.mark.parametrize("size", PRINTED)
def test_the_printed_c4_d2_and_e2_agree(size: int) -> None:
    *_, printed_c4, printed_d2, _, _, e2 = PRINTED[size]

    assert c4(size) == pytest.approx(printed_c4, abs=1e-4)
    assert D2[size] == pytest.approx(printed_d2, abs=1e-3)
    assert 3 / D2[size] == pytest.approx(e2, abs=1e-3)


def test_single_readings_are_judged_by_their_moving_range() -> None:
    # NIST/SEMATECH 6.3.2.2, flow rates: mean 50.81, limits 45.8159 and 55.8041 (memory).
    flow = (49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1)

    level = individuals(flow).level

    assert level.centre == pytest.approx(50.81)
    assert level.lower == pytest.approx(45.8159, abs=2e-3)
    assert level.upper == pytest.approx(55.8041, abs=2e-3)
    assert level.outside == ()


def test_a_jump_shows_in_both_charts_at_its_own_place() -> None:
    chart = individuals((0.10, 0.11, 0.10, 0.11, 0.10, 0.11, 0.10, 0.11, 0.10, 0.60))

    assert chart.level.outside == (9,)
    assert chart.scatter.outside == (9,)


def test_a_scatter_has_no_limit_below_zero() -> None:
    assert mean_and_range([(1.0, 2.0), (2.0, 4.0)]).scatter.lower == 0.0
    assert individuals((-5.0, -4.0, -6.0)).level.lower < 0.0


@pytest.mark.parametrize(
    "groups", [[(1.0,), (2.0,)], [(1.0, 2.0)], [(1.0, 2.0), (1.0, 2.0, 3.0)], [(1.0,) * 11] * 2]
)
def test_groups_of_another_size_are_refused(groups: list[tuple[float, ...]]) -> None:
    with pytest.raises(OutOfRange):
        mean_and_range(groups)
    with pytest.raises(OutOfRange):
        mean_and_deviation(groups)
