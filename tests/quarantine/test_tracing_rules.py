"""A trace goes along edges in their order of time, and along all of them.

Oracles: the constructed case T26 (an edge before the exposure is no path), cases worked out by
hand, and an enumeration of every path, which shares no code with what is tested.
"""

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from heapq import heappop, heappush
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quarantine.rules.reach import Flows, earliest, latest
from quarantine.rules.tracing import Direction, Edge, Kind, Trace, carrying, stopped, trace

DAY = timedelta(days=1)
FIRST = datetime(2026, 3, 1, tzinfo=UTC)
LAST = FIRST + 60 * DAY
FORWARD, BACKWARD = Direction.FORWARD, Direction.BACKWARD


def on(day: float) -> datetime:
    return FIRST + day * DAY


def edge(source: str, target: str, start: float, end: float | None = None, **more: str) -> Edge:
    kind = Kind(more.pop("kind", "animals"))
    until = on(start if end is None else end)
    return Edge(
        source=source,
        target=target,
        start=on(start),
        end=until,
        kind=kind,
        evidence=f"{source} to {target}",
        **more,
    )


def both(one: str, other: str, start: float, end: float) -> tuple[Edge, Edge]:
    return (
        edge(one, other, start, end, kind="water"),
        edge(other, one, start, end, kind="water"),
    )


def traced(edges: Sequence[Edge], begin: str, day: float, direction: Direction = FORWARD) -> Trace:
    return trace(edges, {begin: on(day)}, direction=direction, since=FIRST, until=LAST)


def days(found: Trace) -> dict[str, float]:
    return {name: (one.at - FIRST) / DAY for name, one in found.reached.items()}


def test_what_left_before_the_net_came_is_not_reached() -> None:
    """T26: A→net→B on day 3, B→move→C on day 2; from A, infected on day 1: B, not C."""
    net = [edge("A", "net", 3, kind="equipment"), edge("net", "B", 3, kind="equipment")]
    move = [edge("B", "C", 2)]

    assert days(traced(net + move, "A", 1)) == {"A": 1, "net": 3, "B": 3}


def test_backward_it_could_not_have_come_from_where_animals_went_later() -> None:
    """T26 from its other end: C can only have it from B, and A met B too late."""
    net = [edge("A", "net", 3, kind="equipment"), edge("net", "B", 3, kind="equipment")]
    move = [edge("B", "C", 2)]

    assert days(traced(net + move, "C", 10, BACKWARD)) == {"C": 10, "B": 2}


def test_an_open_valve_passes_it_on_as_long_as_it_is_open() -> None:
    """A shares water with the sump from day 0 to 10; it falls ill on day 4; B is opened on 6."""
    water = [*both("A", "sump", 0, 10), *both("B", "sump", 6, 20), *both("C", "sump", 0, 3)]

    assert days(traced(water, "A", 4)) == {"A": 4, "sump": 4, "B": 6}


def test_a_valve_closed_before_the_illness_kept_it_out() -> None:
    assert set(traced(both("A", "sump", 0, 3), "A", 4).reached) == {"A"}


def test_backward_the_last_moment_that_still_counts_is_told() -> None:
    """B ill on day 8; the sump was open to B until day 6, A gave the sump animals on 5 and 7."""
    edges = [*both("B", "sump", 2, 6), edge("A", "sump", 5), edge("Z", "sump", 7)]

    assert days(traced(edges, "B", 8, BACKWARD)) == {"B": 8, "sump": 6, "A": 5}


def test_one_moment_counts_as_contact() -> None:
    edges = [edge("A", "net", 3, kind="equipment"), edge("net", "B", 3, kind="equipment")]

    assert days(traced(edges, "A", 3))["B"] == 3


def test_a_barrier_is_told_and_never_taken() -> None:
    clean = edge("net 1", "net 2", 4, kind="equipment", barrier="disinfected")
    edges = [edge("A", "net 1", 3), clean, edge("net 2", "B", 5)]

    found = traced(edges, "A", 1)

    assert set(found.reached) == {"A", "net 1"}
    assert stopped(edges, found) == (clean,)


def test_a_barrier_before_the_illness_stopped_nothing() -> None:
    edges = [edge("net 1", "net 2", 2, barrier="disinfected"), edge("A", "net 1", 3)]

    assert stopped(edges, traced(edges, "A", 1)) == ()


def test_every_contact_is_evidence_not_only_the_first() -> None:
    edges = [edge("A", "B", 3), edge("A", "B", 5), edge("A", "B", 0.5)]

    assert carrying(edges, traced(edges, "A", 1)) == tuple(edges[:2])


def test_the_way_to_a_tank_is_told_in_order_of_time() -> None:
    edges = [edge("C", "D", 9), edge("A", "B", 2), edge("B", "C", 4), edge("A", "C", 7)]

    assert traced(edges, "A", 1).way_to("D") == (edges[1], edges[2], edges[0])
    assert traced(edges, "D", 12, BACKWARD).way_to("A") == (edges[3], edges[0])


def test_nothing_outside_the_period_counts() -> None:
    edges = [edge("A", "B", 3), edge("B", "C", 5)]
    period = {"since": on(0), "until": on(4)}

    found = trace(edges, {"A": on(1)}, direction=FORWARD, **period)

    assert set(found.reached) == {"A", "B"}


@st.composite
def _graphs(draw: st.DrawFn) -> list[Edge]:
    found = []
    for _ in range(draw(st.integers(0, 14))):
        source, target = draw(st.permutations("ABCDEF"))[:2]
        start = draw(st.integers(0, 12))
        length = draw(st.sampled_from([0, 0, 0, 1, 4]))
        found.append(edge(source, target, start, start + length))
    return found


def _walks(edges: Sequence[Edge], node: str, at: datetime) -> Iterator[tuple[str, datetime]]:
    """Every node some path comes to, each edge once a path, as early as that path can."""
    yield node, at
    for one in edges:
        if one.source == node and one.end >= at:
            rest = [other for other in edges if other is not one]
            yield from _walks(rest, one.target, max(at, one.start))


@given(_graphs(), st.integers(0, 8))
def test_it_finds_what_an_enumeration_of_all_paths_finds(edges: list[Edge], day: int) -> None:
    expected: dict[str, datetime] = {}
    for node, at in _walks(edges[:9], "A", on(day)):
        expected[node] = min(at, expected.get(node, at))

    found = traced(edges[:9], "A", day)

    assert {name: one.at for name, one in found.reached.items()} == expected


@given(_graphs(), st.integers(0, 8))
def test_a_trace_never_uses_an_edge_backwards_in_time(edges: list[Edge], day: int) -> None:
    for direction in (FORWARD, BACKWARD):
        begin = "A" if direction is FORWARD else "B"
        found = traced(edges, begin, day, direction)
        for name in found.reached:
            _require_in_time(found, name)


def _require_in_time(found: Trace, name: str) -> None:
    """Along a way there is a moment for each edge, within it and none before the one before."""
    way = found.way_to(name)
    now = FIRST
    for before, after in pairwise(way):
        assert before.target == after.source
    for one in way:
        now = max(now, one.start)
        assert now <= one.end


@given(_graphs())
def test_forward_from_here_to_there_is_backward_from_there_to_here(edges: list[Edge]) -> None:
    """Over one period: B lies in the forward trace of A just when A lies in B's backward trace."""
    for source in "ABC":
        ahead = trace(edges, {source: FIRST}, direction=FORWARD, since=FIRST, until=LAST)
        for target in "DEF":
            back = trace(edges, {target: LAST}, direction=BACKWARD, since=FIRST, until=LAST)
            assert (target in ahead.reached) == (source in back.reached)


@given(_graphs(), st.integers(0, 8))
def test_more_contact_never_reaches_less(edges: list[Edge], day: int) -> None:
    fewer, more = traced(edges[:-1], "A", day), traced(edges, "A", day)

    assert all(more.reached[name].at <= one.at for name, one in fewer.reached.items())


@pytest.mark.parametrize("walk", [earliest, latest])
def test_a_chain_longer_than_any_window_is_followed_to_its_end(walk: object) -> None:
    """Each edge a second after the one before: node k is reached at second k - 1, or never."""
    count = 150_000
    flows = Flows(
        nodes=count + 1,
        source=np.arange(count),
        target=np.arange(1, count + 1),
        start=np.arange(count, dtype=float),
        end=np.arange(count, dtype=float),
    )

    if walk is earliest:
        found = earliest(flows, {0: 0.0})
        assert np.array_equal(found.at[1:], np.arange(count, dtype=float))
        assert np.array_equal(found.via, np.arange(-1, count))
    else:
        found = latest(flows, {count: float(count)})
        assert np.array_equal(found.at[:-1], np.arange(count, dtype=float))


def test_edges_open_for_long_are_kept_for_later_windows() -> None:
    """200,000 short contacts elsewhere lie between an opening and the illness that uses it."""
    count = 200_000
    flows = Flows(
        nodes=5,
        source=np.array([2, *[3] * count, 0]),
        target=np.array([1, *[4] * count, 2]),
        start=np.array([0.0, *range(count), count - 0.5]),
        end=np.array([float(count), *range(count), count - 0.5]),
    )

    found = earliest(flows, {0: 5.0})

    assert found.at.tolist() == [5.0, count - 0.5, count - 0.5, np.inf, np.inf]


@pytest.mark.parametrize("seed", [11, 12, 13])
def test_many_edges_in_many_windows_say_what_one_heap_says(seed: int) -> None:
    rng = np.random.default_rng(seed)
    nodes, count = 16_000, 150_000
    start = rng.integers(0, 5_000, count).astype(float)
    lasts = np.where(rng.random(count) < 0.3, rng.integers(0, 600, count), 0)
    flows = Flows(
        nodes=nodes,
        source=rng.integers(0, nodes, count),
        target=rng.integers(0, nodes, count),
        start=start,
        end=start + lasts,
    )

    found = earliest(flows, {0: 100.0, 1: 3_000.0})

    assert found.at.tolist() == _by_one_heap(flows, {0: 100.0, 1: 3_000.0})
    assert 1_000 < np.isfinite(found.at).sum() < nodes


def _by_one_heap(flows: Flows, seeds: dict[int, float]) -> list[float]:
    leaving: list[list[int]] = [[] for _ in range(flows.nodes)]
    for one, source in enumerate(flows.source.tolist()):
        leaving[source].append(one)
    target, start, end = flows.target.tolist(), flows.start.tolist(), flows.end.tolist()
    at, heap = [np.inf] * flows.nodes, [(moment, node) for node, moment in seeds.items()]
    while heap:
        moment, node = heappop(heap)
        if moment < at[node]:
            at[node] = moment
            for one in leaving[node]:
                if moment <= end[one]:
                    heappush(heap, (max(moment, start[one]), target[one]))
    return at
