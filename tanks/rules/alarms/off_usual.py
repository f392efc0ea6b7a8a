"""A reading off what is usual for this water, and going further. Pure."""

from collections.abc import Iterator
from statistics import median
from typing import Final

from facility.rules.alerts import Seen
from facility.rules.wording import written
from tanks.rules.alarms.known import Known, Point, Rule, is_explained
from tanks.rules.limits import NAMES
from tanks.rules.values import CANONICAL_UNITS

_FEW: Final = 5
# Less than this is no movement: what two thermometers of one kind may differ by.
_STILL: Final = 0.1


def off_usual(rule: Rule, known: Known) -> Iterator[Seen]:
    """Yield the latest reading if it lies off the median of its days and moves away from it."""
    points, days = known.of(rule.parameter), rule.hours("days") * 24
    last = points[-1] if points else None
    if last is None or known.at - last.at > rule.hours("fresh_hours", 12):
        return
    before = [point for point in points[:-1] if last.at - point.at <= days]
    if len(before) < _FEW or is_explained(rule, known, by=last.at):
        return
    usual = median(_middle(point) for point in before)
    off, was = _middle(last) - usual, _middle(before[-1]) - usual
    is_moving = abs(off) - abs(was) > _STILL or off * was < 0
    if abs(off) > rule.number("by") and is_moving:
        yield rule.sees(_told(rule, last, usual, off), last.keys)


def _told(rule: Rule, last: Point, usual: float, off: float) -> str:
    unit = CANONICAL_UNITS[rule.parameter].replace("degC", "°C")
    way = "above" if off > 0 else "below"
    return (
        f"{NAMES[rule.parameter]} {last.read.text} ({last.code}) is {written(round(abs(off), 1))} "
        f"{unit} {way} its usual {written(round(usual, 1))} {unit}, and moving away from it."
    )


def _middle(point: Point) -> float:
    high = point.interval.high
    return point.interval.low if high is None else (point.interval.low + high) / 2
