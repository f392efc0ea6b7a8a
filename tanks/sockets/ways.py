"""Ways that higher apps lead on from a water."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final
from uuid import UUID

from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True)
class Way:
    """``url(vessel_id)`` leads to a page about the water of that vessel."""

    name: str
    label: str
    url: Callable[[UUID], str]


ways: Final = Socket[Way]("The ways from a water")


@dataclass(frozen=True, slots=True, kw_only=True)
class TankAct:
    """A sheet on a tank's page for whoever may give ``deed``; ``is_daily`` stands in front.

    ``waits`` tells that it can be filled in without signal.
    """

    name: str
    label: str
    url: Callable[[UUID], str]
    deed: str
    is_daily: bool = False
    waits: bool = False


tank_acts: Final = Socket[TankAct]("What to record at a tank")
