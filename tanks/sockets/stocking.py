"""Since when animals are in a water: a higher app knows, the tanks ask."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True)
class StockingSource:
    """``since(cycle_ids)`` maps each start-up whose water holds animals to their first entry."""

    name: str
    since: Callable[[Collection[UUID]], Mapping[UUID, datetime]]


stocking_sources: Final = Socket[StockingSource]("the stocked waters")


def stocked_since(cycle_ids: Collection[UUID]) -> dict[UUID, datetime]:
    """Ask every source once, however many start-ups there are; the earliest entry counts."""
    found: dict[UUID, datetime] = {}
    for source in stocking_sources:
        for cycle_id, since in source.since(cycle_ids).items():
            found[cycle_id] = min(since, found.get(cycle_id, since))
    return found
