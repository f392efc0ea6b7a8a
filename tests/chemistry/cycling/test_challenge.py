"""A challenge: topped up, and both ammonia and nitrite within their limits a window later."""

from dataclasses import replace
from typing import Final

import numpy as np
import pytest

from chemistry.cycling import ReadyDefinition
from chemistry.cycling.arrays import Floats
from chemistry.cycling.challenge import challenge, could_pass, scores, unmoved_score
from tests.chemistry.cycling.startups import (
    prior_members,
    promising_case,
    steady,
    water,
)

DEFINITION: Final = ReadyDefinition()
KINETICS: Final = prior_members(count=1, case=promising_case()).kinetics


def _score(state: Floats, *, definition: ReadyDefinition = DEFINITION) -> float:
    asked = challenge([definition])
    return float(scores(state, kinetics=KINETICS, at=steady(), asked=asked)[0])


def test_large_filter_passes() -> None:
    assert _score(water(capacities=(18.0, 15.0))) < 0.0


def test_filter_without_nitrite_oxidisers_fails() -> None:
    assert _score(water(capacities=(18.0, 0.001))) > 0.0


def test_filter_that_can_remove_nothing_scores_the_whole_challenge_over_its_limit() -> None:
    idle = _score(water(tan=0.0, capacities=(1e-4, 1e-4)))

    assert idle == pytest.approx(np.log(2.0 / 0.25), abs=1e-3)
    assert unmoved_score(challenge([DEFINITION])) == pytest.approx(np.log(2.0 / 0.25))


def test_water_already_above_the_challenge_is_not_topped_up_but_must_clear_it_all() -> None:
    middling = (9.0, 9.0)

    assert _score(water(tan=0.1, capacities=middling)) < 0.0
    assert _score(water(tan=12.0, capacities=middling)) > 0.0


def test_larger_challenge_is_harder() -> None:
    state = water(tan=0.1, capacities=(6.0, 5.0))
    larger = replace(DEFINITION, challenge_mg_l_n=4.0)

    assert _score(state, definition=larger) > _score(state)


def test_nothing_that_passes_is_spared_its_challenge() -> None:
    rng = np.random.default_rng(5)
    members = prior_members(count=4000, case=promising_case(), seed=6)
    state = water(members=4000)
    state[:2] = rng.uniform(0.0, 3.0, (2, 4000))
    state[4:] = rng.lognormal(1.0, 1.0, (2, 4000))
    asked, everyone = challenge([DEFINITION]), np.zeros(4000, dtype=np.int64)

    passed = scores(state, kinetics=members.kinetics, at=steady(), asked=asked.of(everyone)) <= 0.0
    able = could_pass(state, kinetics=members.kinetics, at=steady(), asked=asked.of(everyone))

    assert passed.sum() > 500
    assert able[passed].all()
    assert (~able).sum() > 500
