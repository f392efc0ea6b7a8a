"""Where to draw a trace: a lane for each place, from when it counts. Pure; lengths are pixels.

Time runs to the right. A place reached forward counts from its moment to the end; one that may
have reached the subject counts from the beginning up to its moment. Under each lane hang those
that were reached through it, tied to it by a line at the moment it happened.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from typing import Final

LANE: Final = 40.0
_HEAD: Final = 28.0
_FOOT: Final = 10.0
_MARGIN: Final = 14.0
_LETTER_WIDTH: Final = 7.4
_TICKS: Final = 4
_LEAST: Final = 3.0
_BAND: Final = 0.72


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """``parent`` is the lane it was reached through; ``letter`` names how."""

    key: str
    name: str
    at: datetime
    parent: str = ""
    letter: str = ""
    url: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    lane: Lane
    x: float
    y: float
    width: float
    word_x: float
    anchor: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tie:
    x: float
    top: float
    bottom: float
    letter: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    x: float
    label: str
    anchor: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    width: float
    height: float
    bands: tuple[Band, ...]
    ties: tuple[Tie, ...]
    ticks: tuple[Tick, ...]


def drawn(
    lanes: Iterable[Lane],
    *,
    since: datetime,
    until: datetime,
    is_forward: bool,
    width: float,
    zone: tzinfo,
) -> Drawing:
    """Lay the lanes out under one another, each below the one it was reached through."""
    ordered = list(_in_order(tuple(lanes)))
    rows = {lane.key: place for place, lane in enumerate(ordered)}
    scale = _Scale(since, until, width)
    bands = tuple(
        _band(lane, place, scale, is_forward=is_forward) for place, lane in enumerate(ordered)
    )
    ties = tuple(
        Tie(
            x=scale.x(lane.at),
            top=_lane_y(rows[lane.parent]),
            bottom=_lane_y(rows[lane.key]),
            letter=lane.letter,
        )
        for lane in ordered
        if lane.parent in rows
    )
    height = _HEAD + LANE * len(ordered) + _FOOT
    return Drawing(
        width=width, height=height, bands=bands, ties=ties, ticks=tuple(_ticks(scale, zone))
    )


class _Scale:
    def __init__(self, since: datetime, until: datetime, width: float) -> None:
        self.since, self.span, self.width = since, until - since, width

    def x(self, at: datetime) -> float:
        share = (at - self.since) / self.span if self.span > timedelta(0) else 0.0
        return _MARGIN + min(max(share, 0.0), 1.0) * (self.width - 2 * _MARGIN)


def _in_order(lanes: Sequence[Lane]) -> Iterator[Lane]:
    """Each lane, then those reached through it, earliest first; a loop is broken at its head."""
    under: dict[str, list[Lane]] = defaultdict(list)
    keys = {lane.key for lane in lanes}
    for lane in lanes:
        under[lane.parent if lane.parent in keys else ""].append(lane)
    seen: set[str] = set()
    waiting = list(reversed(under[""] or lanes[:1]))
    while waiting:
        lane = waiting.pop()
        if lane.key not in seen:
            seen.add(lane.key)
            yield lane
            waiting.extend(reversed(under[lane.key]))


def _band(lane: Lane, place: int, scale: _Scale, *, is_forward: bool) -> Band:
    left, at, right = _MARGIN, scale.x(lane.at), scale.width - _MARGIN
    x, end = (at, right) if is_forward else (left, at)
    needs = _LETTER_WIDTH * len(lane.name)
    fits_right = x + needs <= right
    return Band(
        lane=lane,
        x=x,
        y=_lane_y(place),
        width=max(end - x, _LEAST),
        word_x=x if fits_right else right,
        anchor="start" if fits_right else "end",
    )


def _lane_y(place: int) -> float:
    """The middle of the band; its name stands above it."""
    return _HEAD + LANE * place + LANE * _BAND


def _ticks(scale: _Scale, zone: tzinfo) -> Iterator[Tick]:
    for place in range(_TICKS + 1):
        at = scale.since + scale.span * place / _TICKS
        anchor = {0: "start", _TICKS: "end"}.get(place, "middle")
        yield Tick(x=scale.x(at), label=f"{at.astimezone(zone):%d %b}", anchor=anchor)
