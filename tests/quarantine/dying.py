"""Builders of looks, deaths and findings, each through its command."""

from datetime import datetime
from typing import Any
from uuid import uuid4

from quarantine.commands.books import Change, enter, next_code
from quarantine.commands.deaths import LogDeath, log_death
from quarantine.commands.findings import LogFinding
from quarantine.commands.necropsies import LogNecropsy, log_necropsy
from quarantine.commands.observations import LogObservation, log_observation
from quarantine.models import Death, Lot, Necropsy, Observation, Species, Supplier
from tanks.models import Vessel
from tests.cast import NOON, House


def arrived(
    house: House,
    vessel: Vessel,
    *,
    count: int = 200,
    at: datetime = NOON,
    species: str = "Danio rerio",
    supplier: str = "Marsh Gate Imports",
    dead_on_arrival: int = 0,
) -> Lot:
    """A lot that came from a supplier into a vessel, and those of it that came dead."""
    kind, _ = Species.objects.get_or_create(
        site=house.site,
        scientific_name=species,
        defaults={"vernacular_name": "", "group": "FISH", "water_kind": "FRESH"},
    )
    seller, _ = Supplier.objects.get_or_create(
        site=house.site, name=supplier, defaults={"opened_at": NOON}
    )
    lot = Lot.objects.create(
        site=house.site,
        code=next_code(house.site),
        species=kind,
        supplier=seller,
        acquired_at=at,
        made="ARRIVED",
    )
    into: dict[str, Any] = {"happened_at": at, "to_lot": lot}
    enter(
        Change(id=uuid4(), kind="ARRIVED", count=count, to_vessel=vessel, **into),
        by=house.ana,
        at=max(at, NOON),
    )
    if dead_on_arrival:
        enter(
            Change(id=uuid4(), kind="DEAD_ON_ARRIVAL", count=dead_on_arrival, **into),
            by=house.ana,
            at=max(at, NOON),
        )
    return lot


def gone(house: House, lot: Lot, vessel: Vessel, kind: str, *, count: int, at: datetime) -> None:
    """Sold, left or missing, straight in the book."""
    change = Change(
        id=uuid4(), kind=kind, count=count, happened_at=at, from_lot=lot, from_vessel=vessel
    )
    enter(change, by=house.ana, at=at)


def look_of(vessel: Vessel, *, at: datetime = NOON, **changes: Any) -> LogObservation:
    told: dict[str, Any] = {
        "id": uuid4(),
        "vessel_id": vessel.pk,
        "happened_at": at,
        "feeding": "ATE",
        "respiration": "CALM",
    }
    return LogObservation(**(told | changes))


def looked(house: House, vessel: Vessel, *, at: datetime = NOON, **changes: Any) -> Observation:
    return log_observation(look_of(vessel, at=at, **changes), by=house.ana, at=at)


def death_of(lot: Lot, vessel: Vessel, *, at: datetime = NOON, **changes: Any) -> LogDeath:
    told: dict[str, Any] = {
        "id": uuid4(),
        "vessel_id": vessel.pk,
        "lot_id": lot.pk,
        "count": 1,
        "happened_at": at,
    }
    return LogDeath(**(told | changes))


def died(house: House, lot: Lot, vessel: Vessel, *, at: datetime = NOON, **changes: Any) -> Death:
    return log_death(death_of(lot, vessel, at=at, **changes), by=house.ana, at=at)


def necropsy_of(death: Death, *, at: datetime, **changes: Any) -> LogNecropsy:
    told: dict[str, Any] = {
        "id": uuid4(),
        "death_id": death.pk,
        "happened_at": at,
        "examined": 1,
        "performed_by": "Vera Lund",
        "gross": "Gills pale, much mucus.",
    }
    return LogNecropsy(**(told | changes))


def examined(house: House, death: Death, *, at: datetime, **changes: Any) -> Necropsy:
    return log_necropsy(necropsy_of(death, at=at, **changes), by=house.ana, at=at)


def finding_of(*, at: datetime = NOON, **changes: Any) -> LogFinding:
    told: dict[str, Any] = {
        "id": uuid4(),
        "happened_at": at,
        "agent": "Spironucleus salmonis",
        "method": "Microscopy of gut",
        "sampled": 30,
        "positive": 0,
        "result": "NEGATIVE",
    }
    return LogFinding(**(told | changes))
