"""Who can be reached along edges that are open for a time, earliest arrival first. Pure.

An edge may be taken at any moment from its start to its end, both included, and takes no time:
whoever stands at its source at ``t <= end`` is at its target at ``max(t, start)``. A tie counts
as contact, so that nothing is left out. Edges are read in order of their start, a window at a
time; inside a window arrivals are lowered all at once, and where that takes many rounds, one by
one with a heap. In all O(E log E).
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from math import isfinite
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

Whole: TypeAlias = NDArray[np.int64]
Moments: TypeAlias = NDArray[np.float64]

_WINDOW: Final = 65_536
_ROUNDS: Final = 12
_SLICES: Final = 65_535


@dataclass(frozen=True, slots=True, kw_only=True)
class Flows:
    """Edge ``k`` leads from node ``source[k]`` to ``target[k]``; nodes are 0 to ``nodes`` - 1."""

    nodes: int
    source: Whole
    target: Whole
    start: Moments
    end: Moments

    def reversed(self) -> "Flows":
        """The same edges walked from their targets, in a time that runs backward."""
        return Flows(
            nodes=self.nodes,
            source=self.target,
            target=self.source,
            start=-self.end,
            end=-self.start,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrivals:
    """When each node is reached, infinite if never, and by which edge; -1 where by none."""

    at: Moments
    via: Whole


def earliest(flows: Flows, seeds: Mapping[int, float]) -> Arrivals:
    """Return the earliest arrival at every node; ``seeds`` are there from their moments on."""
    found = _seeded(flows.nodes, seeds)
    order = _in_time(flows, min(seeds.values(), default=np.inf))
    opens = _opens(flows, order)
    waiting = np.empty(0, np.int64)
    for low, opens_next in zip(range(0, len(order), _WINDOW), opens, strict=True):
        fresh = order[low : low + _WINDOW]
        fresh = fresh[found.at[flows.target[fresh]] > flows.start[fresh]]
        asked = np.concatenate([waiting, fresh])
        _settle(flows, asked, found)
        waiting = _still_open(flows, asked, found, opens_next)
    return found


def latest(flows: Flows, seeds: Mapping[int, float]) -> Arrivals:
    """Return the latest departure from which a seed is still reached; minus infinity if never."""
    back = earliest(flows.reversed(), {node: -moment for node, moment in seeds.items()})
    return Arrivals(at=-back.at, via=back.via)


def _seeded(nodes: int, seeds: Mapping[int, float]) -> Arrivals:
    at = np.full(nodes, np.inf)
    for node, moment in seeds.items():
        at[node] = moment
    return Arrivals(at=at, via=np.full(nodes, -1, np.int64))


def _in_time(flows: Flows, first: float) -> Whole:
    """Edges that may still matter, none a slice of time before another.

    The order inside a slice does not matter to what follows, and slices of 16 bits are sorted
    by their digits. Where most edges fall into few slices, a full sort is the quicker one.
    """
    kept = np.flatnonzero(flows.end >= first)
    start = np.maximum(flows.start[kept], first)
    span = float(np.ptp(start)) if len(start) else 0.0
    if span == 0 or not isfinite(span):
        return kept[np.argsort(start, kind="stable")]
    slices = ((start - start.min()) * (_SLICES / span)).astype(np.uint16)
    if np.bincount(slices).max() > _WINDOW // 4:
        return kept[np.argsort(start, kind="stable")]
    return kept[np.argsort(slices, kind="stable")]


def _opens(flows: Flows, order: Whole) -> Moments:
    """For each window the first start in any later one."""
    if not len(order):
        return np.empty(0)
    firsts = np.minimum.reduceat(flows.start[order], np.arange(0, len(order), _WINDOW))
    later = np.append(firsts[1:], np.inf)
    return np.minimum.accumulate(later[::-1])[::-1]


def _still_open(flows: Flows, asked: Whole, found: Arrivals, opens: float) -> Whole:
    """Edges that a later window may need: open then, between nodes that are not settled yet."""
    late = flows.end[asked] >= opens
    unsettled = (found.at[flows.source[asked]] >= opens) & (found.at[flows.target[asked]] >= opens)
    return asked[late & unsettled]


def _settle(flows: Flows, asked: Whole, found: Arrivals) -> None:
    """Lower arrivals along these edges until none can be lowered."""
    source, target = flows.source[asked], flows.target[asked]
    start, end = flows.start[asked], flows.end[asked]
    for _ in range(_ROUNDS):
        when = np.maximum(found.at[source], start)
        better = np.flatnonzero((when <= end) & (when < found.at[target]))
        if not len(better):
            return
        np.minimum.at(found.at, target[better], when[better])
        # Where several arrive at one moment, the edge that was given first is named.
        first = better[when[better] == found.at[target[better]]][::-1]
        found.via[target[first]] = asked[first]
    _settle_by_heap(flows, asked, found)


def _settle_by_heap(flows: Flows, asked: Whole, found: Arrivals) -> None:
    """Do the same one node at a time, each once: a long chain takes no more than it is long."""
    leaving: dict[int, list[int]] = defaultdict(list)
    for edge, source in zip(asked.tolist(), flows.source[asked].tolist(), strict=True):
        leaving[source].append(edge)
    heap = [(moment, node) for node in leaving if isfinite(moment := float(found.at[node]))]
    heapify(heap)
    while heap:
        moment, node = heappop(heap)
        if moment > found.at[node]:
            continue
        for edge in leaving.get(node, ()):
            when = max(moment, float(flows.start[edge]))
            target = int(flows.target[edge])
            if when <= flows.end[edge] and when < found.at[target]:
                found.at[target], found.via[target] = when, edge
                heappush(heap, (when, target))
