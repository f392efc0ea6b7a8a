"""A reading that moved too far or too fast, by itself or while something else is present. Pure."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from facility.rules.alerts import Seen
from facility.rules.wording import age, written
from tanks.rules.alarms.known import Known, Point, Rule, is_explained
from tanks.rules.limits import INSIDE, NAMES
from tanks.rules.values import CANONICAL_UNITS

# Two readings closer than this tell more about the method than about the water.
_APART: Final = timedelta(minutes=10)
_HOUR: Final = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Move:
    """From one reading to a later one; ``by`` is at least so much, negative for a fall."""

    first: Point
    last: Point
    by: float

    @property
    def keys(self) -> tuple[str, ...]:
        return (*self.first.keys, *self.last.keys)

    @property
    def hours(self) -> float:
        return (self.last.at - self.first.at) / _HOUR


def change(rule: Rule, known: Known) -> Iterator[Seen]:
    """Yield a move beyond the rule's figures, unless something logged explains it."""
    moved = _too_far(rule, known)
    if moved is not None and not is_explained(rule, known, by=moved.last.at):
        yield rule.sees(f"{_told(rule, moved)}.", moved.keys)


def together(rule: Rule, known: Known) -> Iterator[Seen]:
    """Yield a change that matters because another parameter is present, or is absent."""
    moved, other = _too_far(rule, known), known.latest(str(rule.figures.get("with", "")))
    if moved is None or other is None or known.at - other.at > rule.hours("with_hours", 48):
        return
    is_present = other.interval.low > rule.number("with_above")
    if is_present is rule.figures.get("with_absent", False):
        return
    if not is_explained(rule, known, by=moved.last.at):
        what = f"while {INSIDE[other.read.parameter]} reads {other.read.text}"
        yield rule.sees(f"{_told(rule, moved)} {what}.", (*moved.keys, *other.keys))


def moves(rule: Rule, known: Known) -> Iterator[Move]:
    """Every earlier reading within the rule's hours against the latest; none once that is old."""
    points, within = known.of(rule.parameter), rule.hours("hours")
    if not points or known.at - points[-1].at > within:
        return
    last = points[-1]
    for first in points[:-1]:
        alike = first.read.ph_is_total == last.read.ph_is_total
        if alike and _APART <= last.at - first.at <= within:
            yield Move(first, last, _by(first, last))


def _too_far(rule: Rule, known: Known) -> Move | None:
    far = [move for move in moves(rule, known) if _is_too_far(rule, move)]
    return max(far, key=lambda move: abs(move.by), default=None)


def _is_too_far(rule: Rule, move: Move) -> bool:
    rise, fall = rule.figures.get("rise"), rule.figures.get("fall")
    share, rate = rule.figures.get("fall_share"), rule.figures.get("per_hour")
    least = move.first.interval.low
    return (
        (rise is not None and _reaches(move.by, float(rise)))
        or (fall is not None and _reaches(-move.by, float(fall)))
        or (share is not None and least > 0 and _reaches(-move.by, float(share) * least))
        or (rate is not None and move.by != 0 and abs(move.by) / move.hours > float(rate))
    )


def _reaches(moved: float, limit: float) -> bool:
    """A tenth read as 0.1 is no less than 0.1 for being a binary fraction."""
    return moved >= limit - 1e-9


def _by(first: Point, last: Point) -> float:
    """The least that two readings can differ by: brackets that overlap do not differ."""
    rise = last.interval.low - first.interval.top
    fall = first.interval.low - last.interval.top
    return rise if rise > 0 else -fall if fall > 0 else 0.0


def _told(rule: Rule, move: Move) -> str:
    name, way = NAMES[rule.parameter], "rose" if move.by > 0 else "fell"
    span = age(move.first.at, now=move.last.at).removesuffix(" ago")
    whole = f"{name} {way} from {move.first.read.text} to {move.last.read.text} in {span}"
    if "per_hour" not in rule.figures:
        return whole
    unit = CANONICAL_UNITS[rule.parameter].replace("degC", "°C")
    return f"{whole}, {written(abs(move.by) / move.hours)} {unit} an hour"
