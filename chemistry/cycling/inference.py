"""From readings to an ensemble that accounts for them.

Gauss-Newton finds the best account under each story of the seed; a normal distribution around
each and the evidence for each make a mixture, and members are drawn from it.
Parameters are logarithms whitened by their prior, x = (ln p - median) / sd. All starts, trial
steps and finite differences of a round run as one ensemble.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from chemistry.cycling.arrays import Floats, Truths, Whole
from chemistry.cycling.case import Case
from chemistry.cycling.history import live
from chemistry.cycling.members import Members, members_from
from chemistry.cycling.observation import (
    HUBER_SD,
    Observations,
    huber_cost,
    observations,
    observed,
    residuals,
)
from chemistry.cycling.priors import NAMES, Hypothesis, hypotheses
from chemistry.cycling.timeline import Timeline, timeline

INFERENCE_STEP_H: Final = 2.0
_DIFFERENCE: Final = 1e-3
_DAMPINGS: Final = (0.0, 2.0, 20.0)
_STARTS: Final = ((0.0, 0.0), (1.0, 1.0), (-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0))
_ROUNDS: Final = 12
_ENOUGH: Final = 0.01
_FARTHEST: Final = 5.0
_KEPT_STARTS: Final = 2
_VARIANCE_TIMES: Final = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Ensemble:
    """``story`` names the hypothesis each member was drawn from, by index."""

    members: Members
    story: Whole
    stories: tuple[Hypothesis, ...]
    weights: Floats

    def tells(self, cause: str) -> Truths:
        """Return which members were drawn from a story of this cause."""
        told = np.array([story.cause == cause for story in self.stories])
        return told[self.story]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Chains:
    """Points on the way down: (parameters, chains), with cost, slope and curvature there."""

    at: Floats
    story: Whole
    cost: Floats
    slope: Floats
    curvature: Floats

    def chosen(self, which: Whole) -> "_Chains":
        return _Chains(
            at=self.at[:, which],
            story=self.story[which],
            cost=self.cost[which],
            slope=self.slope[which],
            curvature=self.curvature[which],
        )


class _Problem:
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

    def members(self, at: Floats, story: Whole) -> Members:
        logarithms = self._median[:, story] + self._sd[:, story] * at
        return members_from(logarithms, inoculation=self._inoculation[story])

    def distances(self, at: Floats, story: Whole) -> Floats:
        members = self.members(at, story)
        lived = live(self._plot, case=self._case, members=members)
        return residuals(lived.kept, of=self._told, members=members)

    def explored(self, at: Floats, story: Whole) -> _Chains:
        """Run each point and its finite differences, 1 + parameters members per chain."""
        count, chains = at.shape
        spread = np.repeat(at[:, :, None], count + 1, axis=2)
        spread[np.arange(count), :, np.arange(1, count + 1)] += _DIFFERENCE
        distance = self.distances(spread.reshape(count, -1), np.repeat(story, count + 1))
        return _linearised(at, story, distance.reshape(-1, chains, count + 1))


def _linearised(at: Floats, story: Whole, distance: Floats) -> _Chains:
    here = distance[:, :, 0]
    jacobian = (distance[:, :, 1:] - distance[:, :, :1]) / _DIFFERENCE
    weighed = jacobian * _huber_weights(here)[:, :, None]
    return _Chains(
        at=at,
        story=story,
        cost=huber_cost(here) + (at**2).sum(axis=0),
        slope=np.einsum("rcp,rc->cp", weighed, here) + at.T,
        curvature=np.einsum("rcp,rcq->cpq", weighed, jacobian) + np.eye(len(at)),
    )


def _huber_weights(distance: Floats) -> Floats:
    weights: Floats = HUBER_SD / np.maximum(np.abs(distance), HUBER_SD)
    return weights


def infer(case: Case, *, count: int, rng: np.random.Generator) -> Ensemble:
    """Return ``count`` members that account for the readings of ``case``."""
    problem = _Problem(case)
    best = _best_per_story(_descended(problem))
    weights = _weights(best, problem.stories)
    story = np.repeat(np.arange(len(weights)), _shares(weights, count))
    at = _drawn(best, story, rng)
    return Ensemble(
        members=problem.members(at, story), story=story, stories=problem.stories, weights=weights
    )


def _descended(problem: _Problem) -> _Chains:
    chains = problem.explored(*_starts(len(problem.stories)))
    for turn in range(_ROUNDS):
        before = chains
        chains = _stepped(problem, chains)
        if (before.cost - chains.cost).max() < _ENOUGH:
            break
        if turn == 0:
            chains = _pruned(chains)
    return chains


def _starts(stories: int) -> tuple[Floats, Whole]:
    at = np.zeros((len(NAMES), stories * len(_STARTS)))
    at[:2] = np.tile(np.array(_STARTS).T, stories)
    return at, np.repeat(np.arange(stories), len(_STARTS))


def _stepped(problem: _Problem, chains: _Chains) -> _Chains:
    """Try three dampings of every chain and keep the best, or stay."""
    tries = [_tried(chains, damping) for damping in _DAMPINGS]
    found = problem.explored(np.concatenate(tries, axis=1), np.tile(chains.story, len(_DAMPINGS)))
    width = len(chains.cost)
    costs = np.stack([chains.cost, *found.cost.reshape(len(_DAMPINGS), width)])
    pooled = _joined(chains, found)
    return pooled.chosen(costs.argmin(axis=0) * width + np.arange(width))


def _tried(chains: _Chains, damping: float) -> Floats:
    damped = chains.curvature + damping * np.eye(len(chains.at))
    leap = np.linalg.solve(damped, chains.slope[:, :, None])[:, :, 0]
    return np.clip(chains.at - leap.T, -_FARTHEST, _FARTHEST)


def _joined(first: _Chains, second: _Chains) -> _Chains:
    return _Chains(
        at=np.concatenate([first.at, second.at], axis=1),
        story=np.concatenate([first.story, second.story]),
        cost=np.concatenate([first.cost, second.cost]),
        slope=np.concatenate([first.slope, second.slope]),
        curvature=np.concatenate([first.curvature, second.curvature]),
    )


def _pruned(chains: _Chains) -> _Chains:
    order = np.lexsort((chains.cost, chains.story))
    rank = np.arange(len(order)) - np.searchsorted(chains.story[order], chains.story[order])
    return chains.chosen(order[rank < _KEPT_STARTS])


def _best_per_story(chains: _Chains) -> _Chains:
    order = np.lexsort((chains.cost, chains.story))
    _, first = np.unique(chains.story[order], return_index=True)
    return chains.chosen(order[first])


def _weights(best: _Chains, stories: tuple[Hypothesis, ...]) -> Floats:
    _, logdet = np.linalg.slogdet(best.curvature)
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


def _drawn(best: _Chains, story: Whole, rng: np.random.Generator) -> Floats:
    """Draw whitened parameters around the best point of each member's story.

    Kits err alike from day to day, so readings narrow the draw as if their variance were larger.
    """
    prior = np.eye(len(best.at))
    curvature = prior + (best.curvature - prior) / _VARIANCE_TIMES
    roots = np.linalg.inv(np.linalg.cholesky(curvature))
    noise = rng.standard_normal((len(story), len(best.at)))
    spread = np.einsum("mqp,mq->pm", roots[story], noise)
    drawn: Floats = np.clip(best.at[:, story] + spread, -_FARTHEST, _FARTHEST)
    return drawn
