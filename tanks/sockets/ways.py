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
