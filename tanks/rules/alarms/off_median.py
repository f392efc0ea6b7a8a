"""A source water that reads otherwise than it has of late: told before it is used. Pure."""

from collections.abc import Iterable, Iterator
from statistics import median
from typing import Final

from facility.rules.alerts import Seen
from facility.rules.wording import written
from tanks.rules.alarms.known import Known, Point, Rule
from tanks.rules.limits import NAMES
from tanks.rules.values import CANONICAL_UNITS

# Of fewer readings a median says nothing of what is usual.
_FEW: Final = 3


def off_median(rule: Rule, known: Known) -> Iterator[Seen]:
    """Yield each source whose latest reading is far from the median of those before it."""
    points = [one for one in known.sources if one.read.parameter == rule.parameter]
    for source in sorted({point.code for point in points}):
        yield from _moved(rule, known, [one for one in points if one.code == source])


def _moved(rule: Rule, known: Known, points: list[Point]) -> Iterator[Seen]:
    last = points[-1]
    if known.at - last.at > rule.hours("fresh_hours", 24):
        return
    span = rule.hours("days") * 24
    before = [one for one in points[:-1] if last.at - one.at <= span]
    if len(before) >= _FEW and _gap(last, usual := _median(before)) > rule.number("by") + 1e-9:
        yield rule.sees(
            f"{NAMES[rule.parameter]} of {last.code} reads {last.read.text}; the median of "
            f"{len(before)} readings before is {written(usual)} {_unit(rule)}".rstrip()
            + ".",
            last.keys,
            of=last.code,
        )


def _gap(last: Point, usual: float) -> float:
    """The least it can be off: a bracket that holds the usual is not off."""
    low, top = last.interval.low, last.interval.top
    return max(low - usual, usual - top, 0.0)


def _median(points: Iterable[Point]) -> float:
    return median(_middle(point) for point in points)


def _middle(point: Point) -> float:
    high = point.interval.high
    return point.interval.low if high is None else (point.interval.low + high) / 2


def _unit(rule: Rule) -> str:
    return (
        CANONICAL_UNITS[rule.parameter]
        .replace("pH", "")
        .replace("degC", "°C")
        .replace("Cl2", "Cl₂")
    )
