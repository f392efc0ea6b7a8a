"""What is to be done: other apps say what is due, the facility lists it."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One thing to do. The same ``key`` on the same day is the same task.

    ``kind`` is that of the task that asks for the same, and ``parameters`` what it reads: where
    such a task is open about one of the vessels, it is named once, as the task.
    """

    key: str
    title: str
    why: str
    place: str
    hygiene_rank: int
    due_at: datetime
    url: str
    vessel_ids: frozenset[UUID] = frozenset()
    kind: str = ""
    parameters: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class TaskSource:
    """``due(site_id, at)`` yields what is open at that moment."""

    name: str
    due: Callable[[UUID, datetime], Iterable[Due]]


task_sources: Final = Socket[TaskSource]("the day's work")


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """A way a task can be proven done; ``asks`` is what goes into it, ``label`` its words."""

    name: str
    label: str
    asks: Mapping[str, Any]


proofs: Final = Socket[Proof]("what proves a task done")


@dataclass(frozen=True, slots=True, kw_only=True)
class Judge:
    """Decides whether what was recorded is good enough: a retest must read inside its limit.

    A task names its judge in ``asks["judge"]`` and what it needs to know in ``asks["judged"]``;
    ``passes(judged, rows)`` gets the rows of the ledger lines that speak for it. No word of a
    person's can stand in for it.
    """

    name: str
    passes: Callable[[Mapping[str, Any], Sequence[Mapping[str, Any]]], bool]


judges: Final = Socket[Judge]("judges of what was recorded")


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyWay:
    """A page beside the list of duties for whoever may give ``deed``; ``url`` takes the site."""

    name: str
    label: str
    deed: str
    url: Callable[[UUID], str]


duty_ways: Final = Socket[DutyWay]("ways to duties")
