"""What is laid on an ensemble for what the equations leave out."""

from typing import Final

import numpy as np
import pytest

from chemistry.cycling.doubt import CAPACITY_EACH, GROWTH_AHEAD, GROWTH_BOTH, GROWTH_EACH, doubted
from chemistry.cycling.history import live
from chemistry.cycling.inference import infer
from chemistry.cycling.timeline import timeline
from tests.chemistry.cycling.startups import promising_case

CASE: Final = promising_case().up_to_now()
ENSEMBLE = infer(CASE, count=2000, rng=np.random.default_rng(1))
LIVED = live(timeline(CASE, keep_h=[0.0], longest_step_h=2.0), case=CASE, members=ENSEMBLE.members)
AFTER, NOW = doubted(ENSEMBLE, LIVED, rng=np.random.default_rng(2))


def test_doubt_slows_growth_to_come_and_spreads_it() -> None:
    told = np.log(AFTER.members.kinetics.growth_per_d / ENSEMBLE.members.kinetics.growth_per_d)

    assert np.exp(np.median(told)) == pytest.approx(GROWTH_AHEAD[True], rel=0.03)
    assert told.std() == pytest.approx(np.hypot(GROWTH_BOTH, GROWTH_EACH), rel=0.05)
    # what delays one group delays the other: normal theory for a shared part
    shared = GROWTH_BOTH**2 / (GROWTH_BOTH**2 + GROWTH_EACH**2)
    assert np.corrcoef(told)[0, 1] == pytest.approx(shared, abs=0.08)


def test_doubt_spreads_the_capacities_and_leaves_the_water_alone() -> None:
    spread = np.log(NOW.now[4:] / LIVED.now[4:])

    assert spread.std() == pytest.approx(CAPACITY_EACH, rel=0.05)
    assert np.array_equal(NOW.now[:4], LIVED.now[:4])
    assert np.array_equal(NOW.kept, LIVED.kept)
