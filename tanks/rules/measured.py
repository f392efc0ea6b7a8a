"""A reading as the rules of proof see it: its edges in canonical units, when, by whom and how."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """The true value lies from ``low`` to ``high``; no ``high`` means over range.

    Nitrogen in mg/L as N, alkalinity in meq/L, oxygen in % of saturation, chlorine in mg/L Cl2.
    ``people`` took or corrected the reading. ``text`` is what was written, with unit and basis.
    """

    id: UUID
    parameter: str
    at: datetime
    people: frozenset[UUID]
    method: UUID
    method_name: str
    method_kind: str
    low: float
    high: float | None
    text: str

    def is_within(self, limit: float) -> bool | None:
        """Tell whether the value is at most ``limit``; None when the reading cannot say."""
        if self.high is not None and self.high <= limit:
            return True
        return False if self.low >= limit else None

    def reaches(self, floor: float) -> bool | None:
        """Tell whether the value is at least ``floor``; None when the reading cannot say."""
        if self.low >= floor:
            return True
        return False if self.high is not None and self.high <= floor else None


def of(parameter: str, readings: Iterable[Measured]) -> list[Measured]:
    """Return the readings of one parameter in order of time."""
    found = (reading for reading in readings if reading.parameter == parameter)
    return sorted(found, key=lambda reading: (reading.at, str(reading.id)))


def latest(parameter: str, readings: Iterable[Measured]) -> Measured | None:
    found = of(parameter, readings)
    return found[-1] if found else None
