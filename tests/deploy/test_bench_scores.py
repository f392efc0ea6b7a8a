"""Scores against their definitions: numerical integration, brute force and closed forms."""

import numpy as np
import pytest
from scipy import integrate, stats

from deploy.bench.scores import (
    LEVELS,
    covered,
    crps_of_members,
    crps_of_quantiles,
    paired_gain,
    width,
)

QUANTILES = np.array([4.0, 5.0, 8.0, 11.0, 17.0, 40.0, 75.0])


def by_integration(quantiles: list[float], truth: float) -> float:
    """The definition: the integral of (F(x) - 1{x >= truth}) squared, by the trapezoid rule."""
    x = np.linspace(0.0, 100.0, 2_000_001)
    told = np.interp(x, quantiles, LEVELS, left=0.0, right=1.0)
    told[x < quantiles[0]] = 0.0
    return float(integrate.trapezoid((told - (x >= truth)) ** 2, x))


@pytest.mark.parametrize("truth", [1.0, 4.0, 6.5, 11.0, 30.0, 75.0, 90.0])
def test_score_of_quantiles_is_its_integral(truth: float) -> None:
    found = crps_of_quantiles(QUANTILES[None, :], np.array([truth]))[0]

    assert found == pytest.approx(by_integration(QUANTILES.tolist(), truth), abs=1e-3)


def test_score_of_a_certain_date_is_its_error() -> None:
    found = crps_of_quantiles(np.full((1, 7), 20.0), np.array([26.5]))

    assert found[0] == pytest.approx(6.5, abs=1e-12)


def test_score_of_an_even_chance_is_a_twelfth_at_its_middle() -> None:
    """Uniform on 0 to 1, truth one half: twice the integral of p squared to one half is 1/12."""
    found = crps_of_quantiles(np.array([[0.0, 1.0]]), np.array([0.5]), levels=np.array([0.0, 1.0]))

    assert found[0] == pytest.approx(1.0 / 12.0, abs=1e-12)


def test_score_of_a_bell_curve_is_the_closed_form() -> None:
    """Gneiting and Raftery 2007, equation 21 (memory); many levels stand for the curve."""
    levels = np.linspace(0.0005, 0.9995, 1000)
    told = np.asarray(stats.norm.ppf(levels))[None, :]
    z = 0.7
    closed = z * (2 * stats.norm.cdf(z) - 1) + 2 * stats.norm.pdf(z) - 1 / np.sqrt(np.pi)

    assert crps_of_quantiles(told, np.array([z]), levels=levels)[0] == pytest.approx(
        closed, abs=2e-3
    )


def test_score_of_members_is_the_brute_force_one() -> None:
    members = np.random.default_rng(3).gamma(2.0, 8.0, 57)
    pairs = np.abs(members[:, None] - members[None, :]).mean()

    found = crps_of_members(members, 12.0)

    assert found == pytest.approx(np.abs(members - 12.0).mean() - 0.5 * pairs, abs=1e-12)


def test_a_band_covers_its_ends() -> None:
    rows = np.tile(QUANTILES, (4, 1))

    assert covered(rows, np.array([8.0, 17.0, 7.9, 17.1]), band="50") == pytest.approx(0.5)
    assert covered(rows, np.array([5.0, 40.0, 41.0, 4.5]), band="80") == pytest.approx(0.5)
    assert covered(rows, np.array([75.0, 4.0, 3.9, 74.0]), band="90") == pytest.approx(0.75)
    assert width(rows, band="80") == pytest.approx(35.0)


def test_a_paired_difference_has_an_interval_that_shrinks_with_pairing() -> None:
    rng = np.random.default_rng(8)
    theirs = rng.gamma(2.0, 4.0, 300)
    ours = theirs - 1.0 + rng.normal(0.0, 0.5, 300)

    found = paired_gain(ours, theirs)

    assert found.low < found.mean < found.high < 0.0
    assert found.mean == pytest.approx(float(np.mean(ours - theirs)))
    spread = 2 * 1.96 * float(np.std(ours - theirs)) / np.sqrt(300)
    assert found.high - found.low == pytest.approx(spread, rel=0.1)
