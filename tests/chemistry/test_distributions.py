"""Quantiles against scipy (computed) and against printed values of t (found)."""

import pytest
from scipy import stats

from chemistry.distributions import chi_square_quantile, t_quantile
from chemistry.domain import OutOfRange

DEGREES = [1, 2, 3, 6, 7, 9, 12, 30, 61, 1000]
PROBABILITIES = [0.001, 0.025, 0.3, 0.9, 0.975, 0.99, 0.9999]


@pytest.mark.parametrize("degrees", DEGREES)
@pytest.mark.parametrize("probability", PROBABILITIES)
def test_quantiles_are_those_of_scipy(probability: float, degrees: int) -> None:
    t = t_quantile(probability, degrees=degrees)
    chi_square = chi_square_quantile(probability, degrees=degrees)

    assert t == pytest.approx(stats.t.ppf(probability, degrees), rel=1e-9)
    assert chi_square == pytest.approx(stats.chi2.ppf(probability, degrees), rel=1e-9)


# Found: Wisconsin NR 252.0365, the table of 40 CFR 136 App. B, by number of replicates.
@pytest.mark.parametrize(
    ("replicates", "printed"),
    [(7, 3.143), (8, 2.998), (9, 2.896), (10, 2.821), (11, 2.764), (16, 2.602), (61, 2.390)],
)
def test_t_is_the_printed_one_for_one_side_and_99_percent(replicates: int, printed: float) -> None:
    assert t_quantile(0.99, degrees=replicates - 1) == pytest.approx(printed, abs=5e-4)


def test_the_middle_of_t_is_zero_and_its_sides_mirror() -> None:
    assert t_quantile(0.5, degrees=5) == pytest.approx(0.0, abs=1e-12)
    assert t_quantile(0.1, degrees=5) == -t_quantile(0.9, degrees=5)


def test_a_certainty_has_no_quantile() -> None:
    with pytest.raises(OutOfRange, match="probability"):
        t_quantile(1.0, degrees=5)
    with pytest.raises(OutOfRange, match="degrees of freedom"):
        chi_square_quantile(0.5, degrees=0)
