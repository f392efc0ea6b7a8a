"""Two vessels of one water that read apart: they do not mix, or an instrument is off. Pure."""

from collections.abc import Iterator
from itertools import combinations

from facility.rules.alerts import Seen
from facility.rules.wording import written
from tanks.rules.alarms.known import Known, Point, Rule
from tanks.rules.limits import NAMES
from tanks.rules.values import CANONICAL_UNITS


def disagree(rule: Rule, known: Known) -> Iterator[Seen]:
    """Yield the pair that lies furthest apart, if both were read about the same time."""
    latest = {point.code: point for point in known.of(rule.parameter)}
    fresh = [
        point for point in latest.values() if known.at - point.at <= rule.hours("fresh_hours", 24)
    ]
    pairs = [pair for pair in combinations(fresh, 2) if _comparable(rule, *pair)]
    apart = [(pair[0].interval.gap_to(pair[1].interval), pair) for pair in pairs]
    furthest, pair = max(apart, key=lambda one: one[0], default=(0.0, None))
    if pair is not None and furthest > rule.number("by") + 1e-9:
        yield rule.sees(_told(rule, *pair, furthest), (*pair[0].keys, *pair[1].keys))


def _comparable(rule: Rule, one: Point, other: Point) -> bool:
    is_together = abs(one.at - other.at) <= rule.hours("hours", 4)
    return is_together and one.read.ph_is_total == other.read.ph_is_total


def _told(rule: Rule, one: Point, other: Point, apart: float) -> str:
    unit = CANONICAL_UNITS[rule.parameter].replace("pH", "").strip()
    return (
        f"{NAMES[rule.parameter]} reads {one.read.text} in {one.code} and {other.read.text} in "
        f"{other.code}, {written(round(apart, 2))} {unit}".rstrip()
        + " apart in one water."
    )
