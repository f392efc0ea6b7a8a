"""Builders of readings: a kit, and what was read with it."""

from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID, uuid4

from tanks.commands.methods import DefineMethod, define_method
from tanks.commands.readings import LogReadings, ReadingTaken, log_readings
from tanks.models import Method, Reading, Vessel
from tanks.rules.values import measures
from tests.cast import NOON, House


def kit(house: House, parameter: str = "NITRITE", **changes: Any) -> Method:
    """A colour kit in the parameter's first unit, or as ``changes`` say."""
    usual = measures(parameter)[0]
    told: dict[str, Any] = {
        "id": uuid4(),
        "site_id": house.site.pk,
        "name": f"Kit for {parameter}",
        "kind": "COLOUR_KIT",
        "parameter": parameter,
        "unit": usual.unit,
        "basis": usual.basis,
    }
    return define_method(DefineMethod(**(told | changes)), by=house.mo, at=NOON)


def nitrite_kit(house: House) -> Method:
    """Reads from 0.25 to 5 mg/L as N, in steps."""
    steps = tuple(Decimal(step) for step in ("0", "0.25", "0.5", "1", "2", "5"))
    return kit(house, "NITRITE", name="Nitrite drops", steps=steps, lowest=Decimal("0.25"))


def taken(method: Method, text: str, **changes: Any) -> ReadingTaken:
    told: dict[str, Any] = {
        "id": uuid4(),
        "parameter": method.parameter,
        "method_id": method.pk,
        "text": text,
        "unit": method.unit,
        "basis": method.basis,
    }
    return ReadingTaken(**(told | changes))


def sample(
    vessel: Vessel,
    *readings: ReadingTaken,
    at: datetime = NOON,
    confirmed: frozenset[UUID] = frozenset(),
) -> LogReadings:
    return LogReadings(
        id=uuid4(),
        vessel_id=vessel.pk,
        happened_at=at,
        readings=readings,
        confirmed=confirmed,
    )


def logged(
    house: House, vessel: Vessel, method: Method, text: str, *, at: datetime = NOON
) -> Reading:
    """One reading by Ana, recorded when it was taken, surprising or not."""
    reading = taken(method, text)
    command = sample(vessel, reading, at=at, confirmed=frozenset([reading.id]))
    return log_readings(command, by=house.ana, at=max(at, NOON))[0]
