"""Two people read one water at the same time and wrote different things: both stand. Pure."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from tanks.rules.values import Interval

# House rule, no source: so close together, a water is one water.
TOGETHER: Final = timedelta(minutes=10)


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One reading of the water, by its id."""

    id: UUID
    parameter: str
    interval: Interval
    by: UUID
    at: datetime


def crossing(readings: Iterable[Said]) -> list[tuple[UUID, UUID]]:
    """Pair readings that cannot both be so: of one parameter, two people, at most 10 min apart.

    Latest first; each pair in the order it was read. Ranges that touch agree.
    """
    told = sorted(readings, key=lambda one: (one.at, one.id))
    pairs = [
        (first, second)
        for place, first in enumerate(told)
        for second in told[place + 1 :]
        if _cross(first, second)
    ]
    return [(first.id, second.id) for first, second in reversed(pairs)]


def _cross(first: Said, second: Said) -> bool:
    return (
        first.parameter == second.parameter
        and first.by != second.by
        and second.at - first.at <= TOGETHER
        and first.interval.gap_to(second.interval) > 0
    )
