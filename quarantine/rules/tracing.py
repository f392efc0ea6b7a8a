"""From where could it have come, and where could it have gone: a trace with its evidence. Pure.

Nodes are named by whoever gathers the edges. A path leaves a node no earlier than it came there.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from math import isfinite

import numpy as np

from quarantine.rules.reach import Arrivals, Flows, earliest, latest


class Kind(StrEnum):
    ANIMALS = "animals"
    WATER = "water"
    EQUIPMENT = "equipment"
    PEOPLE = "people"
    FEED = "feed"


class Direction(StrEnum):
    FORWARD = "forward"
    BACKWARD = "backward"


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """Something may have passed from ``source`` to ``target`` at any moment of a period.

    ``evidence`` names the record. ``barrier`` says what kept it from passing; with one the edge
    is told, and never taken.
    """

    source: str
    target: str
    start: datetime
    end: datetime
    kind: Kind
    evidence: str
    barrier: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """Forward, ``at`` is the earliest moment; backward, the latest from which it still counts.

    ``via`` is the edge that did it, None for where the trace began.
    """

    node: str
    at: datetime
    via: Edge | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    direction: Direction
    reached: Mapping[str, Reached]

    def way_to(self, node: str) -> tuple[Edge, ...]:
        """The edges in order of time between where the trace began and ``node``."""
        way = tuple(self._back_from(node))
        return way[::-1] if self.direction is Direction.FORWARD else way

    def _back_from(self, node: str) -> Iterator[Edge]:
        while (edge := self.reached[node].via) is not None:
            yield edge
            node = edge.source if self.direction is Direction.FORWARD else edge.target


def trace(
    edges: Iterable[Edge],
    seeds: Mapping[str, datetime],
    *,
    direction: Direction,
    since: datetime,
    until: datetime,
) -> Trace:
    """Return all that a seed may have reached, or that may have reached it, within a period.

    ``seeds`` give the moment from which (forward) or up to which (backward) each one counts.
    """
    open_edges = [
        edge for edge in edges if not edge.barrier and edge.end >= since and edge.start <= until
    ]
    places = _places(open_edges, seeds)
    flows = _flows(open_edges, places, since, until)
    begun = {places[node]: _seconds(moment) for node, moment in seeds.items()}
    walk = earliest if direction is Direction.FORWARD else latest
    return Trace(direction=direction, reached=_named(walk(flows, begun), open_edges, places))


def stopped(edges: Iterable[Edge], found: Trace) -> tuple[Edge, ...]:
    """Edges with a barrier that a trace would have taken without it."""
    return tuple(edge for edge in edges if edge.barrier and _would_go(edge, found))


def carrying(edges: Iterable[Edge], found: Trace) -> tuple[Edge, ...]:
    """Every edge that could have carried something along, not only the first to arrive."""
    return tuple(edge for edge in edges if not edge.barrier and _would_go(edge, found))


def _would_go(edge: Edge, found: Trace) -> bool:
    if found.direction is Direction.FORWARD:
        begun = found.reached.get(edge.source)
        return begun is not None and begun.at <= edge.end
    begun = found.reached.get(edge.target)
    return begun is not None and begun.at >= edge.start


def _places(edges: Sequence[Edge], seeds: Mapping[str, datetime]) -> dict[str, int]:
    names = dict.fromkeys(seeds)
    for edge in edges:
        names[edge.source] = names[edge.target] = None
    return {name: place for place, name in enumerate(names)}


def _flows(
    edges: Sequence[Edge], places: Mapping[str, int], since: datetime, until: datetime
) -> Flows:
    first, last = _seconds(since), _seconds(until)
    return Flows(
        nodes=len(places),
        source=np.array([places[edge.source] for edge in edges], np.int64),
        target=np.array([places[edge.target] for edge in edges], np.int64),
        start=np.maximum(np.array([_seconds(edge.start) for edge in edges], float), first),
        end=np.minimum(np.array([_seconds(edge.end) for edge in edges], float), last),
    )


def _named(found: Arrivals, edges: Sequence[Edge], places: Mapping[str, int]) -> dict[str, Reached]:
    return {
        name: Reached(
            node=name,
            at=datetime.fromtimestamp(float(found.at[place]), UTC),
            via=edges[found.via[place]] if found.via[place] >= 0 else None,
        )
        for name, place in places.items()
        if isfinite(found.at[place])
    }


def _seconds(moment: datetime) -> float:
    return moment.timestamp()
