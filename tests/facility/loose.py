"""Builders of what must not last: a loose end, its return, an answer about a step."""

from datetime import datetime, timedelta
from typing import Any, Final
from uuid import uuid4

from facility.commands.breaks import TakeBreak
from facility.commands.loose_ends import (
    ExtendLooseEnd,
    LeaveLooseEnd,
    ReturnLooseEnd,
    leave_loose_end,
    return_loose_end,
)
from facility.models import LooseEnd, LooseEndReturn
from tests.cast import NOON, House

HOUR: Final = timedelta(hours=1)


def loose_of(house: House, *, at: datetime = NOON, **changes: Any) -> LeaveLooseEnd:
    """A hose that fills a butt in the front room for two hours, Ana's."""
    told: dict[str, Any] = {
        "id": uuid4(),
        "about": f"facility.area:{house.area.pk}",
        "kind": "HOSE",
        "what": "Hose fills the rain butt",
        "why": "Water for tomorrow",
        "owner_id": house.ana.pk,
        "due_back_at": at + 2 * HOUR,
        "happened_at": at,
    }
    return LeaveLooseEnd(**(told | changes))


def left(house: House, *, at: datetime = NOON, **changes: Any) -> LooseEnd:
    return leave_loose_end(loose_of(house, at=at, **changes), by=house.ana, at=at)


def return_of(row: LooseEnd, *, at: datetime = NOON + HOUR, note: str = "") -> ReturnLooseEnd:
    return ReturnLooseEnd(id=uuid4(), loose_end_id=row.pk, happened_at=at, note=note)


def returned(house: House, row: LooseEnd, *, at: datetime = NOON + HOUR) -> LooseEndReturn:
    return return_loose_end(return_of(row, at=at), by=house.ana, at=at)


def extension_of(
    house: House, row: LooseEnd, *, due_back_at: datetime = NOON + 9 * HOUR, **changes: Any
) -> ExtendLooseEnd:
    """Until the evening, and Mo's from now on."""
    told: dict[str, Any] = {
        "id": uuid4(),
        "loose_end_id": row.pk,
        "owner_id": house.mo.pk,
        "due_back_at": due_back_at,
        "reason": "The butt is not full yet",
    }
    return ExtendLooseEnd(**(told | changes))


def break_of(house: House, *, at: datetime = NOON, **changes: Any) -> TakeBreak:
    """From rank 6 to rank 1 with fresh kit and clean hands."""
    told: dict[str, Any] = {
        "id": uuid4(),
        "site_id": house.site.pk,
        "from_rank": 6,
        "to_rank": 1,
        "kit_changed": True,
        "hands_disinfected": True,
        "happened_at": at,
    }
    return TakeBreak(**(told | changes))
