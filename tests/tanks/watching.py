"""Builders of what alarm rules are judged on: points in time, a rule with its shipped figures."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import count
from typing import Any, Final

from facility.rules.alerts import Seen
from tanks.rules.alarm_defaults import alarm_rules
from tanks.rules.alarms.judging import JUDGEMENTS
from tanks.rules.alarms.known import Known, Point, Rule
from tanks.rules.limits import Bound, Read
from tanks.rules.values import CANONICAL_UNITS, Interval
from tests.cast import NOON

HOUR: Final = timedelta(hours=1)
DAY: Final = timedelta(days=1)
_NUMBER: Final = count()


def shipped(code: str, **figures: Any) -> Rule:
    """A rule as it comes; ``figures`` take the place of its own."""
    values = next(one for one in alarm_rules() if one.code == code)
    return Rule(
        code=values.code,
        title=values.title,
        looks_for=values.looks_for,
        parameter=values.parameter,
        water_kind=values.water_kind,
        stage=values.stage,
        level=values.level,
        figures=values.figures | figures,
        advice=values.advice,
        source=values.origin.source,
    )


def point(
    parameter: str, value: float | tuple[float, float | None], at: datetime, **more: Any
) -> Point:
    """A reading in canonical units; a pair is a bracket, (0, x) below detection."""
    low, high = value if isinstance(value, tuple) else (value, value)
    read = Read(
        parameter=parameter,
        interval=Interval(low, high),
        text=f"{low:g} {CANONICAL_UNITS[parameter]}",
        at=at,
        method_kind=more.pop("method_kind", "PROBE"),
    )
    told = {"keys": (f"tanks.reading:{next(_NUMBER)}",), "code": "A-01", "entered": read.text}
    return Point(read=read, **(told | more))


def known(
    *points: Point, at: datetime = NOON, kind: str = "FRESH", stage: str = "STOCKED", **more: Any
) -> Known:
    """A water with animals; ``points`` in any order."""
    by_parameter: dict[str, list[Point]] = {}
    for one in sorted(points, key=lambda each: each.at):
        by_parameter.setdefault(one.read.parameter, []).append(one)
    kept = {name: tuple(some) for name, some in by_parameter.items()}
    return Known(at=at, kind=kind, stage=stage, points=kept, **more)


def series(parameter: str, values: Sequence[float], *, every: timedelta = DAY) -> list[Point]:
    """Readings at regular intervals, the last at noon."""
    first = NOON - every * (len(values) - 1)
    return [point(parameter, value, first + every * i) for i, value in enumerate(values)]


def bound(
    parameter: str, *, low: float | None = None, high: float | None = None, **more: Any
) -> Bound:
    told: dict[str, Any] = {
        "is_share": False,
        "text": f"{high if high is not None else low:g}",
        "level": 2,
        "advice": "Act by the limit.",
        "source": "here",
        "verified": False,
    }
    return Bound(parameter=parameter, low=low, high=high, **(told | more))


def signs(rule: Rule, water: Known) -> list[Seen]:
    """What the rule sees there; nothing where it does not apply."""
    return list(JUDGEMENTS[rule.looks_for](rule, water)) if rule.applies_to(water) else []


def later(water: Known, by: timedelta) -> Known:
    return replace(water, at=water.at + by)
