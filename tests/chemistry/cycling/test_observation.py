"""What a reading says of a member, against scipy's normal distribution."""

import numpy as np
import pytest
from scipy.stats import norm

from chemistry.cycling import Reading
from chemistry.cycling.arrays import Floats
from chemistry.cycling.history import live
from chemistry.cycling.observation import (
    deviance,
    huber_cost,
    observations,
    observed,
    residuals,
)
from chemistry.cycling.timeline import timeline
from tests.chemistry.cycling.startups import (
    doses,
    prior_members,
    reading,
    seeded_case,
    steady,
    water,
)


def test_deviance_is_that_of_the_normal_distribution() -> None:
    # scipy.stats.norm.logcdf; Page's curve is good to 2e-4 in probability
    inside = np.linspace(-3.0, 6.0, 91)

    assert np.exp(-deviance(inside) / 2) == pytest.approx(norm.cdf(inside), abs=2e-4)


def test_deviance_in_the_far_tail_is_finite_and_rising() -> None:
    tail = deviance(np.array([-4.0, -8.0, -16.0, -1000.0, np.inf]))

    assert np.isfinite(tail).all()
    assert tail[0] == pytest.approx(-2 * norm.logcdf(-4.0), rel=0.1)
    assert tail[0] < tail[1] < tail[2] <= tail[3]
    assert tail[4] == pytest.approx(0.0, abs=1e-9)


def _distance(read: Reading, **state: float) -> float:
    """Return how far one reading lies from a member in a stated water."""
    case = seeded_case(day=2, readings=(read,), events=())
    members = prior_members(count=1, case=case)
    plot = timeline(case, keep_h=[r.t_h for r in observed(case)], longest_step_h=2.0)
    kept: Floats = water(**state)[None]  # type: ignore[arg-type]  # only the floats are given
    scaled = kept.copy()
    scaled[:, 0] /= members.tan_bias
    return float(residuals(scaled, of=observations(case, plot), members=members)[0, 0])


def test_reading_equal_to_the_water_is_no_distance() -> None:
    assert _distance(reading(day=1, value=2.0, of="tan"), tan=2.0) == pytest.approx(0.0)


def test_ion_basis_is_taken_off_before_comparing() -> None:
    read = reading(day=1, value=2.0 * 1.2878, of="tan", basis="NH4")

    assert _distance(read, tan=2.0) == pytest.approx(0.0, abs=1e-3)


def test_nitrate_kit_may_show_some_of_the_nitrite() -> None:
    # most nitrate kits reduce nitrate to nitrite first, and show a share of what was there
    case = seeded_case(day=2, readings=(reading(day=1, value=8.0, of="nitrate"),), events=())
    share = prior_members(count=1, case=case).nitrite_in_nitrate[0]
    shown = reading(day=1, value=1.0 + share * 9.0, of="nitrate")

    assert _distance(shown, nitrate=1.0, nitrite=9.0) == pytest.approx(0.0, abs=1e-9)


def test_below_detection_costs_nothing_at_zero_and_much_at_four_times_the_limit() -> None:
    below = reading(day=1, value="<0.25", of="tan")

    assert _distance(below, tan=1e-6) < 0.6
    assert _distance(below, tan=1.0) > 3.0


def test_over_range_costs_nothing_far_above_and_much_far_below() -> None:
    above = reading(day=1, value=">5", of="tan")

    assert _distance(above, tan=20.0) < 0.1
    assert _distance(above, tan=1.0) > 3.0


def test_bracket_is_least_inside_and_grows_to_both_sides() -> None:
    between = reading(day=1, value="1-2", of="tan")
    inside, under, over = (_distance(between, tan=tan) for tan in (1.4, 0.2, 8.0))

    assert inside < 1.0
    assert under > 2.0
    assert over > 2.0


def test_beyond_three_deviations_cost_grows_by_a_straight_line() -> None:
    # Huber 1964 with k = 3
    near, at, far, farther = (huber_cost(np.array([[d]]))[0] for d in (1.0, 3.0, 5.0, 7.0))

    assert near == pytest.approx(1.0)
    assert at == pytest.approx(9.0)
    assert farther - far == pytest.approx(12.0)


def test_reading_at_the_minute_of_a_dose_is_of_the_water_before_it() -> None:
    case = seeded_case(
        day=2, readings=(reading(day=1, value="<0.25", of="tan"),), events=doses(1.0)
    )
    members = prior_members(count=1, case=case)
    plot = timeline(case, keep_h=[24.0], longest_step_h=2.0)

    kept = live(plot, case=case, members=members).kept

    assert kept[0, 0, 0] == 0.0
    assert steady().feed_mg_l_n == 0.0
