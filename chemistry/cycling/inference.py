"""From readings to an ensemble that accounts for them.

Gauss-Newton finds the best account under each story of the seed; a normal distribution around
each and the evidence for each make a mixture, and members are drawn from it.
Parameters are logarithms whitened by their prior, x = (ln p - median) / sd.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from chemistry.cycling.arrays import Floats, Truths, Whole
from chemistry.cycling.case import Case
from chemistry.cycling.descent import Chains, Points, descended
from chemistry.cycling.history import Life, live_each
from chemistry.cycling.members import Members, members_from
from chemistry.cycling.observation import Observations, observations, observed, residuals
from chemistry.cycling.priors import Hypothesis, hypotheses
from chemistry.cycling.timeline import Timeline, timeline

INFERENCE_STEP_H: Final = 2.0
_VARIANCE_TIMES: Final = 1.3
_FARTHEST: Final = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Ensemble:
    """``story`` names the hypothesis each member was drawn from, by index."""

    members: Members
    story: Whole
    stories: tuple[Hypothesis, ...]
    weights: Floats

    @property
    def is_seeded(self) -> bool:
        return self.stories[0].inoculation >= 0

    def tells(self, cause: str) -> Truths:
        """Return which members were drawn from a story of this cause."""
        told = np.array([story.cause == cause for story in self.stories])
        return told[self.story]


class _Problem:
    """One case: its stories, its timeline, and how far any point is from its readings."""

    def __init__(self, case: Case) -> None:
        self._case = case
        self.stories = hypotheses(case)
        self._median = np.stack([story.median for story in self.stories], axis=1)
        self._sd = np.stack([story.sd for story in self.stories], axis=1)
        self._inoculation = np.array([story.inoculation for story in self.stories])
        self._plot: Timeline = timeline(
            case,
            keep_h=[reading.t_h for reading in observed(case)],
            longest_step_h=INFERENCE_STEP_H,
        )
        self._told: Observations = observations(case, self._plot)

    def members(self, points: Points) -> Members:
        median, sd = self._median[:, points.story], self._sd[:, points.story]
        return members_from(median + sd * points.at, inoculation=self._inoculation[points.story])

    def life(self, points: Points) -> Life:
        return Life(case=self._case, plot=self._plot, members=self.members(points))

    def distances(self, life: Life, kept: Floats) -> Floats:
        return residuals(kept, of=self._told, members=life.members)


def infer(case: Case, *, count: int, rng: np.random.Generator) -> Ensemble:
    """Return ``count`` members that account for the readings of ``case``."""
    return infer_each([case], count=count, rngs=[rng])[0]


def infer_each(
    cases: Sequence[Case], *, count: int, rngs: Sequence[np.random.Generator]
) -> list[Ensemble]:
    """Return the ensembles of several cases, each as it would be alone."""
    problems = [_Problem(case) for case in cases]
    found = _searched(problems)
    return [
        _ensemble(problem, best, count, rng)
        for problem, best, rng in zip(problems, found, rngs, strict=True)
    ]


def _searched(problems: Sequence[_Problem]) -> list[Chains]:
    """Descend in all cases a round at a time, the points of one round together."""
    descents = [descended(len(problem.stories)) for problem in problems]
    asked = {place: next(descent) for place, descent in enumerate(descents)}
    found: dict[int, Chains] = {}
    while asked:
        lives = {place: problems[place].life(points) for place, points in asked.items()}
        histories = live_each(list(lives.values()))
        asked = {}
        for (place, life), history in zip(lives.items(), histories, strict=True):
            try:
                distances = problems[place].distances(life, history.kept)
                asked[place] = descents[place].send(distances)
            except StopIteration as end:
                found[place] = end.value
    return [found[place] for place in range(len(problems))]


def _ensemble(problem: _Problem, best: Chains, count: int, rng: np.random.Generator) -> Ensemble:
    weights = _weights(best, problem.stories)
    story = np.repeat(np.arange(len(weights)), _shares(weights, count))
    return Ensemble(
        members=problem.members(Points(at=_drawn(best, story, rng), story=story)),
        story=story,
        stories=problem.stories,
        weights=weights,
    )


def _weights(best: Chains, stories: tuple[Hypothesis, ...]) -> Floats:
    _, logdet = np.linalg.slogdet(best.curvature.T)
    belief = np.log([story.weight for story in stories])
    score = belief - 0.5 * (best.cost + logdet)
    weights = np.exp(score - score.max())
    shares: Floats = weights / weights.sum()
    return shares


def _shares(weights: Floats, count: int) -> Whole:
    """Return whole numbers of members, the remainder to the largest fractions."""
    wanted = weights * count
    shares = np.floor(wanted).astype(np.int64)
    largest = np.argsort(shares - wanted, kind="stable")
    shares[largest[: count - int(shares.sum())]] += 1
    return shares


def _drawn(best: Chains, story: Whole, rng: np.random.Generator) -> Floats:
    """Draw whitened parameters around the best point of each member's story.

    Kits err alike from day to day, so readings narrow the draw as if their variance were larger.
    """
    prior = np.eye(len(best.at))
    curvature = prior + (best.curvature.T - prior) / _VARIANCE_TIMES
    roots = np.linalg.inv(np.linalg.cholesky(curvature))
    noise = rng.standard_normal((len(story), len(best.at)))
    spread = np.concatenate(
        [noise[story == number] @ root for number, root in enumerate(roots)]
    )  # members of a story lie side by side
    drawn: Floats = np.clip(best.at[:, story] + spread.T, -_FARTHEST, _FARTHEST)
    return drawn
