"""A course drawn over its days: the window, what was reckoned, what was read, what was given."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import floor, log10
from typing import Final

from facility.rules.wording import written

# As wide as a phone: on a desk it stands in half the page.
WIDTH_PX, HEIGHT_PX = 400, 250
_LEFT, _RIGHT, _TOP, _BOTTOM = 44, 10, 14, 30
_STEPS_D: Final = (0.25, 0.5, 1, 2, 7, 14, 28)
_MOST_TICKS: Final = 7
_STEPS: Final = (1, 2, 2.5, 5, 10)


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A moment with a level from ``low`` to ``high``; ``told`` is its words."""

    at: datetime
    low: float
    high: float
    told: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    px: float
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """``y_px`` to ``y_end_px`` is a bracket; both are one for a single value."""

    x_px: float
    y_px: float
    y_end_px: float
    told: str

    @property
    def height_px(self) -> float:
        return max(self.y_end_px - self.y_px, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """Everything in pixels of a picture ``WIDTH_PX`` by ``HEIGHT_PX``."""

    band: str
    line: str
    window_top_px: float | None
    window_height_px: float
    reads: tuple[Mark, ...]
    doses: tuple[Mark, ...]
    across: tuple[Tick, ...]
    up: tuple[Tick, ...]
    left_px: int = _LEFT
    right_px: int = WIDTH_PX - _RIGHT
    bottom_px: int = HEIGHT_PX - _BOTTOM
    width_px: int = WIDTH_PX
    height_px: int = HEIGHT_PX

    @property
    def inner_px(self) -> int:
        return self.right_px - self.left_px


def chart(
    *,
    since: datetime,
    until: datetime,
    levels: Sequence[Point],
    reads: Sequence[Point],
    doses: Sequence[Point],
    window: tuple[float, float] | None,
) -> Chart:
    """Lay the picture out; time runs from ``since`` to ``until``, at least half a day."""
    frame = _frame(since, until, [*levels, *reads], window)
    upper = [f"{frame.x(one.at):.1f},{frame.y(one.high):.1f}" for one in levels]
    lower = [f"{frame.x(one.at):.1f},{frame.y(one.low):.1f}" for one in reversed(levels)]
    middle = [f"{frame.x(one.at):.1f},{frame.y((one.low + one.high) / 2):.1f}" for one in levels]
    top = frame.y(window[1]) if window else None
    return Chart(
        band=" ".join([*upper, *lower]),
        line=" ".join(middle),
        window_top_px=top,
        window_height_px=frame.y(window[0]) - top if window and top is not None else 0.0,
        reads=tuple(_mark(one, frame) for one in reads),
        doses=tuple(_mark(one, frame) for one in doses),
        across=tuple(_across(frame)),
        up=tuple(_up(frame)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    since: datetime
    days: float
    most: float

    def x(self, at: datetime) -> float:
        share = (at - self.since) / timedelta(days=self.days)
        return _LEFT + min(max(share, 0.0), 1.0) * (WIDTH_PX - _LEFT - _RIGHT)

    def y(self, level: float) -> float:
        share = min(max(level / self.most, 0.0), 1.0)
        return HEIGHT_PX - _BOTTOM - share * (HEIGHT_PX - _TOP - _BOTTOM)


def _frame(
    since: datetime, until: datetime, points: Sequence[Point], window: tuple[float, float] | None
) -> _Frame:
    highs = [one.high for one in points] + ([window[1]] if window else [])
    days = max((until - since) / timedelta(days=1), 0.5)
    return _Frame(since=since, days=days, most=max(highs, default=1.0) * 1.15 or 1.0)


def _mark(one: Point, frame: _Frame) -> Mark:
    top, bottom = frame.y(one.high), frame.y(one.low)
    return Mark(x_px=round(frame.x(one.at), 1), y_px=top, y_end_px=bottom, told=one.told)


def _across(frame: _Frame) -> list[Tick]:
    step = next((each for each in _STEPS_D if frame.days / each <= _MOST_TICKS), _STEPS_D[-1])
    count = int(frame.days / step) + 1
    return [
        Tick(px=round(frame.x(frame.since + timedelta(days=n * step)), 1), label=_day(n * step))
        for n in range(count)
    ]


def _day(day: float) -> str:
    return f"day {written(day)}" if day == 0 else written(day)


def _up(frame: _Frame) -> list[Tick]:
    step = _nice(frame.most / 5)
    count = int(frame.most / step) + 1
    return [Tick(px=round(frame.y(n * step), 1), label=written(n * step)) for n in range(count)]


def _nice(raw: float) -> float:
    size = 10.0 ** floor(log10(raw))
    return next(each * size for each in _STEPS if each * size >= raw * (1 - 1e-9))
