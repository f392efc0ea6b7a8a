"""Ready: topped up to the challenge, both within limits a window later, and the day after too."""

from dataclasses import replace

import numpy as np
import pytest

from chemistry.cycling import ReadyDefinition
from chemistry.cycling.arrays import Floats
from chemistry.cycling.challenge import ready_at_h, scores
from tests.chemistry.cycling.startups import (
    prior_members,
    promising_case,
    steady,
    water,
)

DEFINITION = ReadyDefinition()
KINETICS = prior_members(count=1, case=promising_case()).kinetics


def _score(state: Floats, *, definition: ReadyDefinition = DEFINITION) -> float:
    asked = np.array([True])
    found = scores(state, asked=asked, kinetics=KINETICS, at=steady(), definition=definition)
    return float(found[0])


def test_large_filter_passes() -> None:
    assert _score(water(capacities=(18.0, 15.0))) < 0.0


def test_filter_without_nitrite_oxidisers_fails() -> None:
    assert _score(water(capacities=(18.0, 0.001))) > 0.0


def test_filter_that_can_remove_nothing_scores_the_whole_challenge_over_its_limit() -> None:
    assert _score(water(tan=0.0, capacities=(1e-4, 1e-4))) == pytest.approx(np.log(2.0 / 0.25))


def test_water_already_above_the_challenge_is_not_topped_up_but_must_clear_it_all() -> None:
    middling = (9.0, 9.0)

    assert _score(water(tan=0.1, capacities=middling)) < 0.0
    assert _score(water(tan=12.0, capacities=middling)) > 0.0


def test_larger_challenge_is_harder() -> None:
    state = water(tan=0.1, capacities=(6.0, 5.0))
    larger = replace(DEFINITION, challenge_mg_l_n=4.0)

    assert _score(state, definition=larger) > _score(state)


def test_time_between_two_daily_challenges_is_where_the_score_crosses_zero() -> None:
    daily = np.array([[2.0], [1.0], [-1.0], [-2.0]])

    assert ready_at_h(daily, first_h=100.0, definition=DEFINITION)[0] == pytest.approx(136.0)


def test_pass_that_is_not_repeated_a_day_later_does_not_count() -> None:
    daily = np.array([[1.0], [-1.0], [1.0], [-1.0], [-1.0]])

    assert ready_at_h(daily, first_h=0.0, definition=DEFINITION)[0] == pytest.approx(60.0)


def test_pass_from_the_first_day_is_ready_at_once() -> None:
    daily = np.array([[-1.0], [-1.0]])

    assert ready_at_h(daily, first_h=100.0, definition=DEFINITION)[0] == 100.0


def test_pass_beyond_the_horizon_is_never() -> None:
    daily = np.array([[1.0], [-1.0], [-1.0]])
    near = replace(DEFINITION, horizon_h=105.0)

    assert np.isinf(ready_at_h(daily, first_h=100.0, definition=near)[0])
