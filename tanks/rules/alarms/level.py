"""A reading beyond a limit: the house's own, or figures of the rule. Pure."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from facility.rules.alerts import ACT_NOW, Seen
from facility.rules.wording import written
from tanks.rules.alarms.free_ammonia import free_points
from tanks.rules.alarms.known import Known, Point, Rule
from tanks.rules.alarms.persistence import Patience, Way, sounds
from tanks.rules.limits import NAMES, UNIONISED, Bound, Read, on_one_scale
from tanks.rules.values import CANONICAL_UNITS, Interval


@dataclass(frozen=True, slots=True)
class _Edges:
    low: float | None
    high: float | None


def level(rule: Rule, known: Known) -> Iterator[Seen]:
    """Yield the most pressing limit of the rule's parameter that is passed."""
    points = free_points(known) if rule.parameter == UNIONISED else known.of(rule.parameter)
    found = (_beyond(rule, bound, points, known) for bound in _bounds(rule, known))
    pressing = sorted((one for one in found if one), key=lambda one: one.level)
    yield from pressing[:1]


def _bounds(rule: Rule, known: Known) -> tuple[Bound, ...]:
    if "low" in rule.figures or "high" in rule.figures:
        return (_own_bound(rule),)
    up_to = rule.number("up_to_level", 2)
    mine = (bound for bound in known.bounds if bound.parameter == rule.parameter)
    return tuple(bound for bound in mine if bound.level <= up_to)


def _own_bound(rule: Rule) -> Bound:
    low, high = rule.figures.get("low"), rule.figures.get("high")
    edge = high if high is not None else low
    unit = CANONICAL_UNITS.get(rule.parameter, "mg/L as N")
    return Bound(
        parameter=rule.parameter,
        low=None if low is None else float(low),
        high=None if high is None else float(high),
        is_share=False,
        text=f"{written(float(edge or 0))} {unit}".replace(" pH", ""),
        level=rule.level,
        advice=rule.advice,
        source=rule.source,
        verified=False,
    )


def _beyond(rule: Rule, bound: Bound, points: tuple[Point, ...], known: Known) -> Seen | None:
    reads = known.reads()
    told = [(point, _way(rule, bound, point.read, reads)) for point in points]
    marks = [(point, way) for point, way in told if way is not None]
    urgency = max(rule.level, bound.level)
    patience = _patience(rule, urgency)
    if not sounds(((point.at, way) for point, way in marks), patience, at=known.at):
        return None
    point = next(each for each, way in reversed(marks) if way is Way.BEYOND)
    latest, way = marks[-1]
    sentence = f"{_named(point)} is {_side(bound, point, reads)} {bound.text}."
    if way is Way.BETWEEN:
        sentence += f" Last read {latest.read.text}: not yet clearly back."
    return rule.sees(
        sentence,
        tuple(key for each, _ in marks[-int(patience.readings) :] for key in each.keys),
        level=urgency,
        advice=_step(rule, point) or bound.advice,
        source=bound.source,
    )


def _patience(rule: Rule, urgency: int) -> Patience:
    """What asks for action now is said at the first reading."""
    readings = 1 if urgency == ACT_NOW else int(rule.number("readings", 2))
    return Patience(readings=readings, lasting=rule.hours("minutes", 30) / 60)


def _way(rule: Rule, bound: Bound, read: Read, reads: Mapping[str, Read]) -> Way | None:
    """None where the two cannot be compared, such as oxygen in per cent without a temperature."""
    pair = on_one_scale(read, bound, reads)
    if pair is None:
        return None
    said, edges = pair[0], _Edges(pair[1], pair[2])
    if _is_beyond(said, edges):
        return Way.BEYOND
    return Way.BACK if _is_back(rule, said, edges) else Way.BETWEEN


def _is_beyond(said: Interval, edges: _Edges) -> bool:
    return (edges.high is not None and said.low > edges.high) or (
        edges.low is not None and said.top < edges.low
    )


def _is_back(rule: Rule, said: Interval, edges: _Edges) -> bool:
    """Inside by the dead band; below detection and over range are as far back as can be told."""
    share, band = rule.number("dead_band_share"), rule.number("dead_band")
    high, low = edges.high, edges.low
    is_below = high is None or said.low <= 0 or said.top <= high - max(band, share * high)
    is_above = low is None or said.high is None or said.low >= low + max(band, share * low)
    return is_below and is_above


def _side(bound: Bound, point: Point, reads: Mapping[str, Read]) -> str:
    pair = on_one_scale(point.read, bound, reads)
    is_above = pair is not None and pair[2] is not None and pair[0].low > pair[2]
    return "above" if is_above else "below"


def _named(point: Point) -> str:
    return f"{NAMES[point.read.parameter]} {point.read.text} ({point.code})"


def _step(rule: Rule, point: Point) -> str:
    """The highest rung of the rule's ladder that the reading has reached."""
    ladder: list[Any] = rule.figures.get("ladder", [])
    reached = [words for least, words in ladder if point.interval.low >= float(least)]
    return str(reached[-1]) if reached else ""
