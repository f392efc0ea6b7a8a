"""What comes of the signs seen about one subject: new ones, gone ones, worse ones. Pure."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Final

ACT_NOW, TODAY, WATCH = 1, 2, 3
PUSHED: Final = (ACT_NOW, TODAY)
# How long a cause that was told is looked back to; what is older is not judged any more.
REMEMBERED: Final = timedelta(days=31)
CAUSES: Final = {
    "FEEDING": "Fed too much",
    "DEATH": "Something died or decayed",
    "STOCKING": "Animals added or moved",
    "FILTER": "Filter cleaned, clogged or off",
    "POWER": "Power or flow lost",
    "HEAT": "Heating or cooling",
    "DOSE": "Dose or treatment",
    "WATER_CHANGE": "Water change or top-up",
    "SOURCE_WATER": "Source water",
    "PLANNED_WORK": "Planned work",
    "NOT_DONE": "Work was not done in time",
    "INSTRUMENT": "Instrument or kit read wrongly",
    "ENTRY": "Entered wrongly",
    "RULE": "The rule asks for too much here",
    "NOT_FOUND": "Looked for and not found",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """A sign as a rule sees it now; ``evidence`` are ledger keys of the rows it was seen in.

    A cause covers the same rows for ever, such as readings; or, where the rows say something
    that goes on being so, for ``again_after_hours``.
    """

    rule: str
    level: int
    sentence: str
    advice: str = ""
    source: str = ""
    evidence: tuple[str, ...] = ()
    again_after_hours: int | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cleared:
    """A sign of an alert that a person cleared with a cause."""

    rule: str
    level: int
    evidence: frozenset[str]
    cleared_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """``new`` signs begin, ``again`` go on with other words, ``gone`` have passed."""

    new: tuple[Seen, ...]
    again: tuple[Seen, ...]
    gone: tuple[str, ...]

    @property
    def is_nothing(self) -> bool:
        return not (self.new or self.again or self.gone)


def turn(standing: Mapping[str, Seen], seen: Iterable[Seen]) -> Turn:
    """Compare the signs that stand, by rule, with what is seen now."""
    now = most_pressing_by_rule(seen)
    return Turn(
        new=tuple(one for rule, one in now.items() if rule not in standing),
        again=tuple(one for rule, one in now.items() if standing.get(rule, one) != one),
        gone=tuple(rule for rule in standing if rule not in now),
    )


def most_pressing_by_rule(seen: Iterable[Seen]) -> dict[str, Seen]:
    """One sign for each rule, the most pressing; then by rule, so that order means nothing."""
    found: dict[str, Seen] = {}
    for one in sorted(seen, key=lambda each: (each.rule, each.level, each.sentence)):
        found.setdefault(one.rule, one)
    return found


def unexplained(seen: Iterable[Seen], cleared: Sequence[Cleared], *, at: datetime) -> list[Seen]:
    """Leave out what a person has just given a cause for: the same rule in the same rows."""
    return [one for one in seen if not any(_covers(each, one, at) for each in cleared)]


def _covers(cleared: Cleared, one: Seen, at: datetime) -> bool:
    is_same = cleared.rule == one.rule and set(one.evidence) <= cleared.evidence
    is_worse = one.level < cleared.level
    hours = one.again_after_hours
    is_over = hours is not None and at >= cleared.cleared_at + timedelta(hours=hours)
    return is_same and not is_worse and not is_over
