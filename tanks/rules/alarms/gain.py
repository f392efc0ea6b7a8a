"""Nitrate that gains faster than it is used to here. Pure."""

from collections.abc import Iterator
from datetime import timedelta
from itertools import pairwise
from statistics import median
from typing import Final

from facility.rules.alerts import Seen
from facility.rules.wording import written
from tanks.rules.alarms.known import Known, Point, Rule, is_explained
from tanks.rules.limits import NAMES

_FEW: Final = 3
_DAY: Final = timedelta(days=1)
_SHORTEST: Final = timedelta(hours=12)


def gain(rule: Rule, known: Known) -> Iterator[Seen]:
    """Yield the latest gain a day if it is so many times the usual one; water changes part them."""
    points = known.of(rule.parameter)
    gains = [_per_day(*pair) for pair in pairwise(points) if _is_whole(pair, known)]
    if len(points) < _FEW or not _is_whole((points[-2], points[-1]), known):
        return
    is_old = known.at - points[-1].at > rule.hours("hours", 336)
    *before, latest = gains
    usual = [one for one in before if one > 0]
    if is_old or len(usual) < _FEW or is_explained(rule, known, by=points[-1].at):
        return
    normal = median(usual)
    if latest > rule.number("times") * normal and latest >= rule.number("least"):
        yield rule.sees(_told(rule, latest, normal), (*points[-2].keys, *points[-1].keys))


def _per_day(first: Point, last: Point) -> float:
    """The least it can have gained."""
    return max(last.interval.low - first.interval.top, 0.0) / ((last.at - first.at) / _DAY)


def _is_whole(pair: tuple[Point, Point], known: Known) -> bool:
    """Nothing was exchanged between the two readings, and they are far enough apart."""
    first, last = pair
    changed = any(
        act.kind == "water-change" and first.at <= act.at <= last.at for act in known.acts
    )
    return last.at - first.at >= _SHORTEST and not changed


def _told(rule: Rule, latest: float, normal: float) -> str:
    return (
        f"{NAMES[rule.parameter]} gained {written(latest)} mg/L as N a day lately, "
        f"against {written(normal)} usually."
    )
