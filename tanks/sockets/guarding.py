"""What higher apps say against a dose from the shelf: they know who lives in the water."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfDose:
    """A dose as it is about to go into the water of ``member_ids``.

    ``amount`` was measured out, ``computed`` follows from the target, both in ``unit``.
    """

    substance: str
    purpose: str
    amount: float
    computed: float
    unit: str
    member_ids: frozenset[UUID]
    at: datetime


@dataclass(frozen=True, slots=True)
class DoseGuard:
    """``stops(dose)`` yields a sentence for each reason why it must not go in."""

    name: str
    stops: Callable[[ShelfDose], Iterable[str]]


dose_guards: Final = Socket[DoseGuard]("what stops a dose")


def stopped(dose: ShelfDose) -> list[str]:
    """Return every reason of every guard."""
    return [sentence for guard in dose_guards for sentence in guard.stops(dose)]
