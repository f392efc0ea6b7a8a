"""What alarm rules are judged on: one water's readings, acts, loans, tests, reports. Pure."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any, Final

from facility.rules.alerts import Seen
from tanks.rules.limits import Bound, Read
from tanks.rules.values import Interval

# What the columns of a sign hold.
_SENTENCE: Final = 400
_SOURCE: Final = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One reading of the water. ``keys`` are the ledger's names of the rows it comes from.

    ``code`` names the vessel; ``entered`` is the text as typed, its unit and basis.
    """

    keys: tuple[str, ...]
    code: str
    read: Read
    entered: str
    qualifier: str = "EQUAL"
    method_name: str = ""

    @property
    def at(self) -> datetime:
        return self.read.at

    @property
    def interval(self) -> Interval:
        return self.read.interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """Something logged that moves a water: ``water-change``, ``dose``, ``feeding`` and so on."""

    kind: str
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Loan:
    """A temporary state past its time, and who answers for it; ``kind`` is ``hose`` or ``loan``."""

    key: str
    kind: str
    what: str
    owner: str
    due_back_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """What somebody said of the water: ``incident:POWER_LOSS``, ``walk:FLOW``, ``off:PUMP``.

    ``until`` is when it was over; what ``goes_on`` lasts till its row is answered by another.
    """

    key: str
    kind: str
    told: str
    at: datetime
    until: datetime | None = None
    goes_on: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DueTest:
    """A test that has fallen due and is neither done nor answered; ``every`` is its interval."""

    key: str
    title: str
    parameters: tuple[str, ...]
    due_at: datetime
    every: timedelta


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """One water at ``at``. ``points`` hold each parameter's readings, oldest first.

    ``sources`` are readings of source waters; they are known of a site, not of its waters.
    """

    at: datetime
    kind: str
    stage: str
    points: Mapping[str, tuple[Point, ...]]
    bounds: tuple[Bound, ...] = ()
    acts: tuple[Act, ...] = ()
    loans: tuple[Loan, ...] = ()
    tests: tuple[DueTest, ...] = ()
    reports: tuple[Report, ...] = ()
    sources: tuple[Point, ...] = ()

    def of(self, parameter: str) -> tuple[Point, ...]:
        return self.points.get(parameter, ())

    def latest(self, parameter: str) -> Point | None:
        points = self.of(parameter)
        return points[-1] if points else None

    def reads(self) -> dict[str, Read]:
        """The latest of each parameter, as limits are held against."""
        return {name: points[-1].read for name, points in self.points.items() if points}


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule as the site keeps it. ``figures`` are by name, in canonical units.

    An empty ``water_kind`` or ``stage`` means any.
    """

    code: str
    title: str
    looks_for: str
    parameter: str = ""
    water_kind: str = ""
    stage: str = ""
    level: int
    figures: Mapping[str, Any] = field(default_factory=dict)
    advice: str = ""
    source: str = ""

    def applies_to(self, known: Known) -> bool:
        return self.water_kind in {"", known.kind} and self.stage in {"", known.stage}

    def number(self, name: str, default: float = 0.0) -> float:
        return float(self.figures.get(name, default))

    def hours(self, name: str, default: float = 0.0) -> timedelta:
        return timedelta(hours=self.number(name, default))

    def words(self, name: str) -> tuple[str, ...]:
        return tuple(self.figures.get(name, ()))

    def sees(
        self,
        sentence: str,
        evidence: tuple[str, ...],
        *,
        level: int | None = None,
        advice: str = "",
        source: str = "",
        of: str = "",
        again_after_hours: int | None = None,
    ) -> Seen:
        """A sign of this rule; ``of`` tells apart several that may stand at once."""
        return Seen(
            rule=f"{self.code}:{of}" if of else self.code,
            level=self.level if level is None else level,
            sentence=sentence[:_SENTENCE],
            advice=advice or self.advice,
            source=(source or self.source)[:_SOURCE],
            evidence=evidence,
            again_after_hours=again_after_hours,
        )


def is_explained(rule: Rule, known: Known, *, by: datetime) -> bool:
    """Tell whether something logged accounts for what was read at ``by``.

    The rule names the kinds of act, and for how many hours each accounts for a change.
    """
    lasts = rule.hours("explained_hours")
    kinds = rule.words("explained_by")
    return any(act.kind in kinds and act.at <= by <= act.at + lasts for act in known.acts)
