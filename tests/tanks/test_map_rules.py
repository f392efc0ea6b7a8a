"""The drawn map: what must be so of any picture of a water. Geometry is checked by definition."""

from itertools import combinations, pairwise
from uuid import UUID

from hypothesis import given
from hypothesis import strategies as st

from tanks.rules.map import Box, Drawing, Link, Vertex, drawn


def vertex(number: int, *, is_core: bool = False, is_guest: bool = False) -> Vertex:
    return Vertex(
        id=UUID(int=number), code=f"V-{number}", note="", is_core=is_core, is_guest=is_guest
    )


def bay(*, tanks: int, closed: int, cores: int, columns: int = 3) -> Drawing:
    """Cores in a chain, the tanks dealt out among them, the first ones shut off."""
    vertices = [vertex(number, is_core=True) for number in range(1, cores + 1)]
    links = [
        Link(vessel=UUID(int=number), core=UUID(int=number - 1), is_open=True)
        for number in range(2, cores + 1)
    ]
    for place in range(tanks):
        number = 100 + place
        vertices.append(vertex(number, is_guest=place < closed))
        core = UUID(int=1 + place % cores)
        links.append(Link(vessel=UUID(int=number), core=core, is_open=place >= closed))
    return drawn(vertices, links, columns=columns)


sizes = st.fixed_dictionaries(
    {
        "tanks": st.integers(0, 20),
        "closed": st.integers(0, 20),
        "cores": st.integers(1, 4),
        "columns": st.integers(2, 6),
    }
)


@given(sizes)
def test_every_vessel_is_drawn_once_inside_the_picture(size: dict[str, int]) -> None:
    drawing = bay(**size)

    assert len({box.vertex.id for box in drawing.boxes}) == len(drawing.boxes)
    assert len(drawing.boxes) == size["tanks"] + size["cores"]
    for box in drawing.boxes:
        assert box.x >= 0
        assert box.y >= 0
        assert box.x + box.width <= drawing.width
        assert box.bottom_y <= drawing.height


@given(sizes)
def test_no_two_vessels_overlap(size: dict[str, int]) -> None:
    for one, other in combinations(bay(**size).boxes, 2):
        assert _apart(one, other)


@given(sizes)
def test_every_valve_has_its_gate_and_closed_ones_break_the_pipe(size: dict[str, int]) -> None:
    drawing = bay(**size)
    closed = min(size["tanks"], size["closed"])

    assert len(drawing.gates) == size["tanks"] + size["cores"] - 1
    assert sum(not gate.is_open for gate in drawing.gates) == closed
    assert sum(not pipe.is_open for pipe in drawing.pipes) == 2 * closed
    for gate in drawing.gates:
        crossed = [pipe for pipe in drawing.pipes if _passes(pipe.points, gate.x, gate.y)]
        assert bool(crossed) == gate.is_open


@given(sizes)
def test_pipes_stay_inside_the_picture(size: dict[str, int]) -> None:
    drawing = bay(**size)

    for pipe in drawing.pipes:
        for x, y in pipe.points:
            assert 0 <= x <= drawing.width
            assert 0 <= y <= drawing.height


@given(sizes)
def test_no_pipe_runs_through_a_tank(size: dict[str, int]) -> None:
    drawing = bay(**size)

    for pipe in drawing.pipes:
        for box in drawing.boxes:
            assert not any(
                _cuts(line, box) for line in zip(pipe.points, pipe.points[1:], strict=False)
            )


def test_cores_that_feed_each_other_in_a_ring_are_drawn() -> None:
    cores = [vertex(1, is_core=True), vertex(2, is_core=True)]
    ring = [
        Link(vessel=UUID(int=1), core=UUID(int=2), is_open=True),
        Link(vessel=UUID(int=2), core=UUID(int=1), is_open=True),
    ]

    drawing = drawn(cores, ring)

    assert len(drawing.gates) == 2
    assert len({gate.x for gate in drawing.gates}) == 2


def test_tank_on_its_own_is_drawn_without_pipes() -> None:
    drawing = drawn([vertex(1)], [])

    assert len(drawing.boxes) == 1
    assert drawing.pipes == ()


def _apart(one: Box, other: Box) -> bool:
    return (
        one.x + one.width <= other.x
        or other.x + other.width <= one.x
        or one.bottom_y <= other.y
        or other.bottom_y <= one.y
    )


def _passes(points: tuple[tuple[float, float], ...], x: float, y: float) -> bool:
    """Whether an upright stretch of the line runs through the point."""
    for (one_x, one_y), (other_x, other_y) in pairwise(points):
        if one_x == other_x == x and min(one_y, other_y) < y < max(one_y, other_y):
            return True
    return False


def _cuts(line: tuple[tuple[float, float], tuple[float, float]], box: Box) -> bool:
    """Whether a straight stretch of pipe runs inside the box."""
    (one_x, one_y), (other_x, other_y) = line
    low_x, high_x = sorted((one_x, other_x))
    low_y, high_y = sorted((one_y, other_y))
    return low_x < box.x + box.width and high_x > box.x and low_y < box.bottom_y and high_y > box.y
