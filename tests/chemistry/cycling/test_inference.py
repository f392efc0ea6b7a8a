"""The best account of the readings against scipy's optimiser, and the spread around it."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy.optimize import minimize

from chemistry.cycling import Case, System
from chemistry.cycling.arrays import Floats
from chemistry.cycling.history import live
from chemistry.cycling.inference import infer
from chemistry.cycling.members import members_from
from chemistry.cycling.observation import (
    Observations,
    huber_cost,
    observations,
    observed,
    residuals,
)
from chemistry.cycling.priors import NAMES, Hypothesis, hypotheses
from chemistry.cycling.timeline import Timeline, timeline
from tests.chemistry.cycling.startups import promising_case, recorded_case

UNTOLD = NAMES.index("nitrite_limit")


@cache
def _told(case: Case) -> tuple[tuple[Hypothesis, ...], Timeline, Observations]:
    plot = timeline(case, keep_h=[read.t_h for read in observed(case)], longest_step_h=2.0)
    return hypotheses(case), plot, observations(case, plot)


def _cost(whitened: Floats, case: Case, story: int) -> float:
    stories, plot, told = _told(case)
    logarithms = (stories[story].median + stories[story].sd * whitened)[:, None]
    members = members_from(logarithms, inoculation=np.array([stories[story].inoculation]))
    distance = residuals(live(plot, case=case, members=members).kept, of=told, members=members)
    return float(huber_cost(distance)[0] + (whitened**2).sum())


def _centre(case: Case, story: int) -> Floats:
    """Return the whitened centre of the members drawn for one story."""
    found = infer(case, count=4000, rng=np.random.default_rng(1))
    told = found.stories[story]
    drawn = found.members
    value = np.stack(
        [
            drawn.seed_mg_l_d[0],
            drawn.seed_mg_l_d[1],
            *drawn.kinetics.growth_per_d,
            *drawn.kinetics.limit_mg_l_d,
            *drawn.kinetics.half_mg_l_n,
            drawn.kinetics.ammonia_half_mg_l_n,
            drawn.kinetics.nitrite_half_mg_l_n,
            drawn.kinetics.kappa,
            drawn.alkalinity_meq_l,
            drawn.dose_scale,
            drawn.tan_bias,
            drawn.nitrite_bias,
            drawn.nitrate_mg_l_n,
            drawn.nitrite_in_nitrate,
        ]
    )[:, found.story == story]
    whitened = (np.log(value).mean(axis=1) - told.median[:-2]) / told.sd[:-2]
    return np.append(whitened, [0.0, 0.0])


@pytest.mark.parametrize("seed", [1, 8])
def test_members_lie_around_the_optimum_scipy_finds(seed: int) -> None:
    # scipy.optimize.minimize, L-BFGS-B, from the prior median
    case, _ = recorded_case(day=5, seed=seed)
    story = 0

    theirs = minimize(_cost, np.zeros(len(NAMES)), args=(case, story), method="L-BFGS-B")

    assert _cost(_centre(case, story), case, story) == pytest.approx(theirs.fun, abs=0.3)


def test_what_readings_cannot_tell_keeps_the_width_of_its_prior() -> None:
    case = promising_case(day=3).up_to_now()
    found = infer(case, count=2000, rng=np.random.default_rng(1))

    spread = np.log(found.members.kinetics.limit_mg_l_d[1]).std()

    assert spread == pytest.approx(hypotheses(case)[0].sd[UNTOLD], rel=0.1)


def test_readings_narrow_what_they_tell() -> None:
    case = promising_case()
    found = infer(case, count=2000, rng=np.random.default_rng(1))
    alive = found.story == 0

    assert np.log(found.members.seed_mg_l_d[0, alive]).std() < 0.75 * hypotheses(case)[0].sd[0]


def test_stories_share_out_all_members_by_weight() -> None:
    found = infer(promising_case(), count=500, rng=np.random.default_rng(1))

    counts = np.bincount(found.story, minlength=len(found.stories))

    assert found.weights.sum() == pytest.approx(1.0)
    assert counts.sum() == 500
    assert np.abs(counts - 500 * found.weights).max() <= 1.0


def test_stories_before_any_reading_weigh_one_together() -> None:
    assert sum(story.weight for story in hypotheses(promising_case())) == pytest.approx(1.0)


def test_a_bed_is_believed_to_carry_more() -> None:
    # common practice, no source: substrate adds surface
    bed, bare = (
        hypotheses(replace(promising_case(), system=System(water="fresh", substrate=substrate)))
        for substrate in (True, False)
    )

    assert bed[0].median[UNTOLD] > bare[0].median[UNTOLD]
