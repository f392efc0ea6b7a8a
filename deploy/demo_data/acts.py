"""What somebody did at a moment: a command, ready to be given."""

import zlib
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any, Final
from uuid import NAMESPACE_URL, UUID, uuid5
from zoneinfo import ZoneInfo

import numpy as np

TODAY: Final = 56
ZONE: Final = ZoneInfo("Europe/London")
_NAMESPACE: Final = uuid5(NAMESPACE_URL, "penstock:demo-facility")


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """``at`` is when Penstock was told, ``by`` a sign-in name; empty for the house itself."""

    at: datetime
    by: str
    command: Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Weeks:
    """Eight weeks by the clock on the wall: day 0 is ``first_on``, day `TODAY` the last."""

    first_on: date

    def on(self, day: int) -> date:
        return self.first_on + timedelta(days=day)

    def at(self, day: int, clock: str, *, minutes: float = 0.0) -> datetime:
        """Return a moment of a day; ``minutes`` after ``clock``."""
        local = datetime.combine(self.on(day), time.fromisoformat(clock), tzinfo=ZONE)
        return local.astimezone(ZoneInfo("UTC")) + timedelta(minutes=round(minutes))


def ident(name: str) -> UUID:
    """The same name has the same id in every demo facility."""
    return uuid5(_NAMESPACE, name)


def dice(name: str) -> np.random.Generator:
    """Chance that falls the same way for the same name every time."""
    return np.random.default_rng(zlib.crc32(name.encode()))


def decimal(value: float, *, places: int = 2) -> Decimal:
    return Decimal(f"{value:.{places}f}")
