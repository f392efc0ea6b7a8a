"""Builders of walks and of valves on loan."""

from datetime import datetime, timedelta
from typing import Any, Final
from uuid import uuid4

from tanks.commands.valve_loans import LendValve, lend_valve
from tanks.commands.walks import LogWalk, SignSeen, log_walk
from tanks.models import Connection, ValveLoan, Vessel, Walk
from tests.cast import NOON, House

HOUR: Final = timedelta(hours=1)


def loan_of(
    house: House, connection: Connection, *, at: datetime = NOON + HOUR, **changes: Any
) -> LendValve:
    """A day's bath, Ana opens again."""
    told: dict[str, Any] = {
        "id": uuid4(),
        "connection_id": connection.pk,
        "why": "Bath treatment",
        "due_back_at": at + 24 * HOUR,
        "owner_id": house.ana.pk,
        "happened_at": at,
    }
    return LendValve(**(told | changes))


def lent(
    house: House, connection: Connection, *, at: datetime = NOON + HOUR, **changes: Any
) -> ValveLoan:
    return lend_valve(loan_of(house, connection, at=at, **changes), by=house.ana, at=at)


def sign_of(vessel: Vessel, sign: str = "GASPING", note: str = "At the surface") -> SignSeen:
    return SignSeen(id=uuid4(), vessel_id=vessel.pk, sign=sign, note=note)


def walk_of(house: House, *met: Vessel | SignSeen, at: datetime = NOON) -> LogWalk:
    """Through the front room: the tanks seen, and what was not well."""
    return LogWalk(
        id=uuid4(),
        area_id=house.area.pk,
        seen=tuple(one.pk for one in met if isinstance(one, Vessel)),
        signs=tuple(one for one in met if isinstance(one, SignSeen)),
        happened_at=at,
    )


def walked(house: House, *met: Vessel | SignSeen, at: datetime = NOON) -> Walk:
    return log_walk(walk_of(house, *met, at=at), by=house.ana, at=at)
