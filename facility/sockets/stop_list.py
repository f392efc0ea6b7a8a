"""What a stand-in must leave alone, or must ask about first: each app knows its own."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One line: what not to do, why, and whom to ask. ``place`` empty is the whole house."""

    key: str
    place: str
    hygiene_rank: int
    leave: str
    why: str
    ask: str = ""
    url: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StopSource:
    """``stops(site_id, at)`` yields what must be left alone at that moment."""

    name: str
    stops: Callable[[UUID, datetime], Iterable[Stop]]


stop_sources: Final = Socket[StopSource]("the stop list")


def stops_at(site_id: UUID, at: datetime) -> list[Stop]:
    """Return the whole list: the house first, then place by place from clean to dirty."""
    found = [stop for source in stop_sources for stop in source.stops(site_id, at)]
    return sorted(found, key=lambda stop: (stop.place != "", stop.hygiene_rank, stop.place))
