"""What is to be done: other apps say what is due, the facility lists it."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One thing to do. The same ``key`` on the same day is the same task."""

    key: str
    title: str
    why: str
    place: str
    hygiene_rank: int
    due_at: datetime
    url: str
    vessel_ids: frozenset[UUID] = frozenset()


@dataclass(frozen=True, slots=True)
class TaskSource:
    """``due(site_id, at)`` yields what is open at that moment."""

    name: str
    due: Callable[[UUID, datetime], Iterable[Due]]


task_sources: Final = Socket[TaskSource]("the day's work")
