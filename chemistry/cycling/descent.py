"""Gauss-Newton descents from several starts under every story of the seed, a round at a time.

Each chain tries three dampings of its next step in one round. The damping that served it last
is its guess: at that point slope and curvature are found in the same round by finite
differences. A chain that another damping served better finds them in the round after.
"""

from collections.abc import Generator
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

import numpy as np

from chemistry.cycling.arrays import Floats, Truths, Whole
from chemistry.cycling.columns import Columns
from chemistry.cycling.observation import HUBER_SD, huber_cost
from chemistry.cycling.priors import NAMES

_DIFFERENCE: Final = 1e-3
_DAMPINGS: Final = (0.0, 2.0, 20.0)
_FIRST_GUESS: Final = 0
_STARTS: Final = ((0.0, 0.0), (1.0, 1.0), (-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0))
_KEPT_STARTS: Final = 2
_ROUNDS: Final = 16
_ENOUGH: Final = 0.03
_PROMISING: Final = 0.1
_WARY_TIMES: Final = 100.0
_HOPED_TIMES: Final = 3.0
_SAME_SD: Final = 0.3
_FARTHEST: Final = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Points:
    """Whitened parameters, (parameters, points), each under a story."""

    at: Floats
    story: Whole


@dataclass(frozen=True, slots=True, kw_only=True)
class Chains(Columns):
    """Points on the way down, one column each, with cost, slope and curvature there.

    One that is not ``known`` has moved to where its slope has yet to be found, and has none;
    one that ``is_wary`` was promised a gain and found none; one ``still`` moves no more.
    """

    at: Floats
    story: Whole
    cost: Floats
    slope: Floats
    curvature: Floats
    guess: Whole
    known: Truths
    is_wary: Truths
    still: Truths


Descent: TypeAlias = Generator[Points, Floats, Chains]


def descended(stories: int) -> Descent:
    """Yield the points to look at, be sent their distances; return the best chain per story."""
    chains = _started(stories)
    for turn in range(_ROUNDS):
        moved = yield from _round(chains.of(~chains.still))
        chains = Chains.joined([chains.of(chains.still), moved])
        if turn:
            chains = _pruned(chains)
        if chains.still.all():
            break
    return _best_per_story(chains)


def _started(stories: int) -> Chains:
    parameters, count = len(NAMES), stories * len(_STARTS)
    at = np.zeros((parameters, count))
    at[:2] = np.tile(np.array(_STARTS).T, stories)
    return Chains(
        at=at,
        story=np.repeat(np.arange(stories), len(_STARTS)),
        cost=np.full(count, np.inf),
        slope=np.zeros((parameters, count)),
        curvature=np.repeat(np.eye(parameters)[:, :, None], count, axis=2),
        guess=np.full(count, _FIRST_GUESS),
        known=np.zeros(count, dtype=np.bool_),
        is_wary=np.zeros(count, dtype=np.bool_),
        still=np.zeros(count, dtype=np.bool_),
    )


def _round(chains: Chains) -> Generator[Points, Floats, Chains]:
    tries = np.stack([_tried(chains, damping) for damping in _DAMPINGS])
    guessed = tries[chains.guess, :, np.arange(len(chains.cost))].T
    around = _around(guessed)
    points = np.concatenate([around, *tries], axis=1)
    distances = yield Points(at=points, story=_stories(chains.story))
    of_tries = distances[:, around.shape[1] :]
    costs = huber_cost(of_tries).reshape(len(tries), -1) + (tries**2).sum(axis=1)
    found = _linearised(chains, guessed, distances[:, : around.shape[1]])
    return _moved(chains, found, tries, costs)


def _around(at: Floats) -> Floats:
    """Return each point followed by its finite differences."""
    parameters = np.arange(len(at))
    spread = np.repeat(at[:, :, None], len(at) + 1, axis=2)
    spread[parameters, :, parameters + 1] += _DIFFERENCE
    return spread.reshape(len(at), -1)


def _stories(of_chains: Whole) -> Whole:
    """Return the stories of what is around each chain, then of the tries."""
    around = np.repeat(of_chains, len(NAMES) + 1)
    return np.concatenate([around, np.tile(of_chains, len(_DAMPINGS))])


def _tried(chains: Chains, damping: float) -> Floats:
    """Return where each chain would step; one without a slope stays."""
    dampings = np.where(chains.is_wary, _WARY_TIMES * (1.0 + damping), damping)
    return np.clip(chains.at - _leap(chains, dampings), -_FARTHEST, _FARTHEST)


def _leap(chains: Chains, dampings: Floats) -> Floats:
    damped = chains.curvature + np.eye(len(chains.at))[:, :, None] * dampings
    leaps = np.linalg.solve(damped.T, chains.slope.T[:, :, None])
    return np.asarray(leaps[:, :, 0].T, dtype=np.float64)


def _linearised(chains: Chains, at: Floats, distances: Floats) -> Chains:
    """Return the chains moved to ``at``; distances are (readings, chains x differences)."""
    by_chain = distances.reshape(len(distances), at.shape[1], len(at) + 1).transpose(1, 0, 2)
    here, stepped = by_chain[:, :, :1], by_chain[:, :, 1:]
    jacobian = (stepped - here) / _DIFFERENCE
    weighed = (jacobian * (HUBER_SD / np.maximum(np.abs(here), HUBER_SD))).swapaxes(1, 2)
    return replace(
        chains,
        at=at,
        cost=huber_cost(here[:, :, 0].T) + (at**2).sum(axis=0),
        slope=(weighed @ here)[:, :, 0].T + at,
        curvature=np.moveaxis(weighed @ jacobian, 0, 2) + np.eye(len(at))[:, :, None],
    )


def _moved(chains: Chains, found: Chains, tries: Floats, costs: Floats) -> Chains:
    """Take each chain to its best try, if that is worth it."""
    each = np.arange(len(chains.cost))
    best = costs.argmin(axis=0)
    gains = chains.known & (chains.cost - costs[best, each] >= _ENOUGH)
    learns = ~chains.known | (gains & (best == chains.guess))
    return Chains(
        at=np.where(gains, tries[best, :, each].T, chains.at),
        story=chains.story,
        cost=np.where(learns, found.cost, np.where(gains, costs[best, each], chains.cost)),
        slope=np.where(learns, found.slope, np.where(gains, 0.0, chains.slope)),
        curvature=np.where(learns, found.curvature, chains.curvature),
        guess=np.where(gains, best, chains.guess),
        known=learns | ~gains,
        is_wary=chains.known & ~gains,
        still=chains.known & ~gains & (chains.is_wary | (_promised(chains) < _PROMISING)),
    )


def _promised(chains: Chains) -> Floats:
    """Return what the full step would gain if cost were as curved all the way."""
    promised: Floats = (chains.slope * _leap(chains, np.zeros_like(chains.cost))).sum(axis=0)
    return promised


def _pruned(chains: Chains) -> Chains:
    """Keep the best two chains of each story, and the second only if it may yet be the first."""
    ranked = chains.of(np.lexsort((chains.cost, chains.story)))
    first = np.searchsorted(ranked.story, ranked.story)
    rank = np.arange(len(first)) - first
    behind = ranked.cost - ranked.cost[first]
    apart = np.linalg.norm(ranked.at - ranked.at[:, first], axis=0)
    hopes = ~ranked.known | (behind <= _HOPED_TIMES * _promised(ranked))
    return ranked.of((rank == 0) | ((rank < _KEPT_STARTS) & hopes & (apart > _SAME_SD)))


def _best_per_story(chains: Chains) -> Chains:
    order = np.lexsort((chains.cost, chains.story))
    _, first = np.unique(chains.story[order], return_index=True)
    return chains.of(order[first])
