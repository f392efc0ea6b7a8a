"""What opening a valve does besides joining two waters: higher apps say it beforehand."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnSource:
    """``if_opened(vessel_id, system_id, at)`` yields sentences; none where nothing else changes."""

    name: str
    if_opened: Callable[[UUID, UUID, datetime], Iterable[str]]


turn_sources: Final = Socket[TurnSource]("what opening a valve does")


def told_of_opening(vessel_id: UUID, system_id: UUID, at: datetime) -> list[str]:
    """Ask every source what opening this valve then would do."""
    return [
        sentence
        for source in turn_sources
        for sentence in source.if_opened(vessel_id, system_id, at)
    ]
