"""Where to draw tanks, sumps, pipes and gates. Pure: vertices and links in, positions out.

A bay is a core (sump and pipework) at the bottom and its tanks in rows above it. Every tank
drops through its gate to the pipe below its row; a riser at the left leads that pipe to the
core. Cores that are linked stand above one another, joined at the right. Lengths are pixels.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final
from uuid import UUID

COLUMNS: Final = 3

_BOX_W: Final = 90.0
_BOX_H: Final = 52.0
_GAP: Final = 10.0
_LEFT: Final = 24.0
_DROP: Final = 36.0
_ROW_GAP: Final = 14.0
_CORE_H: Final = 50.0
_BAY_GAP: Final = 40.0
_RISER_X: Final = 10.0
_LANE: Final = 14.0
_EDGE: Final = 2.0
_GATE: Final = 5.0
_RIM: Final = 2.0
_WATER_TOP: Final = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Vertex:
    """One vessel as drawn: ``code`` large, ``note`` small; a guest is not part of the water."""

    id: UUID
    code: str
    note: str
    is_core: bool
    is_guest: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """``vessel`` hangs on ``core`` by a pipe with a gate."""

    vessel: UUID
    core: UUID
    is_open: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    vertex: Vertex
    x: float
    y: float
    width: float
    height: float

    @property
    def middle_x(self) -> float:
        return self.x + self.width / 2

    @property
    def bottom_y(self) -> float:
        return self.y + self.height

    @property
    def half(self) -> float:
        """Where its words stand, from its own left edge; the water is drawn from 10 down."""
        return self.width / 2

    @property
    def right(self) -> float:
        return self.width - _RIM

    @property
    def inner_width(self) -> float:
        return self.width - 2 * _RIM

    @property
    def inner_height(self) -> float:
        return self.height - _WATER_TOP - _RIM


@dataclass(frozen=True, slots=True, kw_only=True)
class Pipe:
    """A line through ``points``; one that is shut off is drawn broken."""

    points: tuple[tuple[float, float], ...]
    is_open: bool

    @property
    def path(self) -> str:
        return "M" + " L".join(f"{x:g} {y:g}" for x, y in self.points)


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """A gate across an upright pipe at ``x``, ``y``; its word ends at ``word_x``."""

    x: float
    y: float
    is_open: bool
    word_x: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    width: float
    height: float
    boxes: tuple[Box, ...]
    pipes: tuple[Pipe, ...]
    gates: tuple[Gate, ...]


def drawn(vertices: Iterable[Vertex], links: Iterable[Link], *, columns: int = COLUMNS) -> Drawing:
    """Lay out one water, its core or cores, its tanks and the guests it is shut off from."""
    vertices, links = tuple(vertices), tuple(links)
    lanes = [link for link in links if _is_core(vertices, link.vessel)]
    width = _width(columns, lanes=len(lanes))
    boxes = tuple(_boxes(vertices, links, columns=columns, core_width=width - _side(len(lanes))))
    at = {box.vertex.id: box for box in boxes}
    drops = [link for link in links if link not in lanes and {link.vessel, link.core} <= at.keys()]
    gates = (*_drop_gates(drops, at), *_lane_gates(lanes, at, width))
    pipes = (*_mains(drops, at), *_drops(drops, at), *_lanes(lanes, at, width))
    height = max((box.bottom_y for box in boxes), default=0.0) + _EDGE
    return Drawing(width=width, height=height, boxes=boxes, pipes=pipes, gates=gates)


def _is_core(vertices: tuple[Vertex, ...], pk: UUID) -> bool:
    return any(vertex.id == pk and vertex.is_core for vertex in vertices)


def _width(columns: int, *, lanes: int) -> float:
    return _LEFT + columns * _BOX_W + (columns - 1) * _GAP + _EDGE + _side(lanes)


def _side(lanes: int) -> float:
    return _LANE * (lanes + 1) if lanes else 0.0


def _boxes(
    vertices: tuple[Vertex, ...], links: tuple[Link, ...], *, columns: int, core_width: float
) -> Iterator[Box]:
    cores = [vertex for vertex in vertices if vertex.is_core]
    hung = {link.vessel: link.core for link in links}
    top = _EDGE
    for core in cores:
        tanks = [v for v in vertices if not v.is_core and hung.get(v.id) == core.id]
        yield from _rows(tanks, top, columns)
        top += -(-len(tanks) // columns) * (_BOX_H + _DROP + _ROW_GAP)
        yield Box(vertex=core, x=_EDGE, y=top, width=core_width - 2 * _EDGE, height=_CORE_H)
        top += _CORE_H + _BAY_GAP
    alone = [v for v in vertices if not v.is_core and v.id not in hung]
    yield from _rows(alone, top, columns)


def _rows(tanks: list[Vertex], top: float, columns: int) -> Iterator[Box]:
    for place, tank in enumerate(tanks):
        row, column = divmod(place, columns)
        yield Box(
            vertex=tank,
            x=_LEFT + column * (_BOX_W + _GAP),
            y=top + row * (_BOX_H + _DROP + _ROW_GAP),
            width=_BOX_W,
            height=_BOX_H,
        )


def _mains(drops: list[Link], at: dict[UUID, Box]) -> Iterator[Pipe]:
    """One pipe below each row, and the riser that leads it to the core."""
    reach: dict[tuple[UUID, float], float] = {}
    for link in drops:
        box = at[link.vessel]
        row = (link.core, box.bottom_y + _DROP)
        reach[row] = max(reach.get(row, 0.0), box.middle_x)
    for (core, y), x in reach.items():
        yield Pipe(points=((x, y), (_RISER_X, y), (_RISER_X, at[core].y)), is_open=True)


def _drops(drops: list[Link], at: dict[UUID, Box]) -> Iterator[Pipe]:
    for link in drops:
        box = at[link.vessel]
        x, top, bottom = box.middle_x, box.bottom_y, box.bottom_y + _DROP
        yield from _through_gate(x, top, _drop_gate_y(box), bottom, is_open=link.is_open)


def _drop_gate_y(box: Box) -> float:
    return box.bottom_y + _DROP / 2


def _through_gate(
    x: float, top: float, gate_y: float, bottom: float, *, is_open: bool
) -> Iterator[Pipe]:
    """An open gate lets the pipe pass; a closed one leaves a gap."""
    if is_open:
        yield Pipe(points=((x, top), (x, bottom)), is_open=True)
        return
    yield Pipe(points=((x, top), (x, gate_y - _GATE)), is_open=False)
    yield Pipe(points=((x, gate_y + _GATE), (x, bottom)), is_open=False)


def _drop_gates(drops: list[Link], at: dict[UUID, Box]) -> Iterator[Gate]:
    for link in drops:
        box = at[link.vessel]
        yield Gate(
            x=box.middle_x,
            y=_drop_gate_y(box),
            is_open=link.is_open,
            word_x=box.middle_x - 10,
        )


def _lanes(lanes: list[Link], at: dict[UUID, Box], width: float) -> Iterator[Pipe]:
    for place, link in enumerate(lanes):
        x, upper, lower = _lane(place, link, at, width)
        side = upper.x + upper.width
        high, low = upper.y + upper.height / 2, lower.y + lower.height / 2
        gate_y = _lane_gate_y(upper)
        yield Pipe(points=((side, high), (x, high), (x, high + 1)), is_open=link.is_open)
        yield from _through_gate(x, high, gate_y, low, is_open=link.is_open)
        yield Pipe(points=((x, low - 1), (x, low), (side, low)), is_open=link.is_open)


def _lane_gates(lanes: list[Link], at: dict[UUID, Box], width: float) -> Iterator[Gate]:
    for place, link in enumerate(lanes):
        x, upper, _ = _lane(place, link, at, width)
        yield Gate(x=x, y=_lane_gate_y(upper), is_open=link.is_open, word_x=x - 10)


def _lane(place: int, link: Link, at: dict[UUID, Box], width: float) -> tuple[float, Box, Box]:
    upper, lower = sorted((at[link.vessel], at[link.core]), key=lambda box: box.y)
    return width - _LANE * (place + 1), upper, lower


def _lane_gate_y(upper: Box) -> float:
    """In the gap below the upper core, where no tank stands."""
    return upper.bottom_y + _BAY_GAP / 2
