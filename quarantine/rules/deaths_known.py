"""What rules about deaths are judged on: the lots of one water, their deaths and looks. Pure."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any, Final

from facility.rules.alerts import Seen

_DAY: Final = timedelta(days=1)
# What the columns of a sign hold.
_SENTENCE: Final = 400
_SOURCE: Final = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Dead:
    """``count`` found dead in a vessel; ``key`` is the ledger's name of the row."""

    key: str
    at: datetime
    vessel: str
    count: int
    is_explained: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One observation that tells about a lot; ``feeding`` as it was entered."""

    key: str
    at: datetime
    vessel: str
    feeding: str


@dataclass(frozen=True, slots=True)
class Step:
    """At ``at`` the water holds ``change`` more animals of a lot, or fewer."""

    at: datetime
    change: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LotHere:
    """One lot in one water, all in order of time."""

    code: str
    species: str
    steps: tuple[Step, ...]
    deaths: tuple[Dead, ...] = ()
    looks: tuple[Look, ...] = ()

    @property
    def name(self) -> str:
        return f"{self.code} {self.species}"

    def held(self, at: datetime) -> int:
        return sum(step.change for step in self.steps if step.at <= at)

    def at_risk(self, since: datetime, until: datetime) -> int:
        """Who was there when the window began, and who came in it."""
        came = (step.change for step in self.steps if since < step.at <= until and step.change > 0)
        return self.held(since) + sum(came)

    def animal_days(self, since: datetime, until: datetime) -> float:
        moments = [since, *(s.at for s in self.steps if since < s.at < until), until]
        return sum(self.held(start) * ((end - start) / _DAY) for start, end in pairwise(moments))

    def died(self, since: datetime, until: datetime) -> tuple[Dead, ...]:
        return tuple(each for each in self.deaths if since < each.at <= until)


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """Something done to the water, in words such as "a dose of copper"."""

    at: datetime
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Baseline:
    """The share that dies a day when all is as usual, and how that is known."""

    share: float
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """One water at ``at``; ``usual`` is the site's own baseline, if enough is known for one."""

    at: datetime
    is_quarantine: bool
    lots: tuple[LotHere, ...]
    acts: tuple[Act, ...] = ()
    usual: Baseline | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule as the site keeps it."""

    code: str
    title: str
    looks_for: str
    level: int
    level_elsewhere: int
    figures: Mapping[str, Any]
    advice: str
    source: str

    def number(self, name: str, default: float) -> float:
        return float(self.figures.get(name, default))

    def sees(
        self, known: Known, sentence: str, evidence: Iterator[str] | list[str], *, of: str
    ) -> Seen:
        """A sign of this rule; ``of`` tells apart several that may stand at once."""
        return Seen(
            rule=f"{self.code}:{of}",
            level=self.level if known.is_quarantine else self.level_elsewhere,
            sentence=sentence[:_SENTENCE],
            advice=self.advice,
            source=self.source[:_SOURCE],
            evidence=tuple(sorted(set(evidence))),
        )
