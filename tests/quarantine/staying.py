"""Builders of stays: quarantine tanks, lots that arrived, looks, holds, releases and moves."""

from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any, Final
from uuid import uuid4

from facility.commands.places import OpenArea, open_area
from facility.models import Area
from quarantine.commands.holds import LiftHold, PlaceHold, lift_hold, place_hold
from quarantine.commands.moves import MoveAnimals, move_animals
from quarantine.commands.plans import PlanEntry, plan_entry
from quarantine.commands.releases import ReleaseLot, release_lot
from quarantine.models import Hold, HoldLift, Lot, Move, PlannedEntry, Release
from tanks.commands.vessels import OpenVessel, open_vessel
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.quarantine.dying import arrived, looked
from tests.quarantine.ready import FIT
from tests.tanks.estate import a_label
from tests.tanks.proving import Proving
from tests.tanks.samples import kit, logged

DAY: Final = timedelta(days=1)
HOUR: Final = timedelta(hours=1)
MEANING: Final = "I have read every requirement and release these animals."


def back_room(house: House) -> Area:
    """Where animals wait: dirtier than the front room."""
    area = house.site.areas.filter(name="Back room").first()
    command = OpenArea(id=uuid4(), site_id=house.site.pk, name="Back room", hygiene_rank=5)
    return area or open_area(command, by=house.mo, at=NOON)


def tank_behind(house: House, code: str, *, kind: str = "TANK", at: datetime = NOON) -> Vessel:
    command = OpenVessel(
        id=uuid4(),
        site_id=house.site.pk,
        area_id=back_room(house).pk,
        kind=kind,
        code=code,
        name="",
        label=a_label(),
        happened_at=at,
    )
    return open_vessel(command, by=house.mo, at=max(at, NOON))


def waited(
    house: House, vessel: Vessel, *, days: int = 40, before: datetime = NOON, count: int = 20
) -> Lot:
    """A lot that arrived that many days before, in water logged at 25 °C since."""
    since = before - days * DAY
    lot = arrived(house, vessel, count=count, at=since)
    logged(house, vessel, _thermometer(house), "25", at=since + HOUR)
    return lot


def ready_to_leave(house: House, vessel: Vessel, *, at: datetime) -> Lot:
    """A lot that nothing keeps in at ``at``, its water read that hour."""
    lot = waited(house, vessel, before=at)
    logged(house, vessel, _thermometer(house), "25.0", at=at - HOUR)
    logged(house, vessel, kit(house, "PH", name="pH of the back room"), "7.5", at=at - HOUR)
    for hours in (30, 2):
        looked(house, vessel, at=at - hours * HOUR)
    return lot


def hold_of(*, lot: Lot | None = None, vessel: Vessel | None = None, **changes: Any) -> PlaceHold:
    told: dict[str, Any] = {
        "id": uuid4(),
        "lot_id": lot.pk if lot else None,
        "vessel_id": vessel.pk if vessel else None,
        "kind": "DISEASE",
        "why": "White spots on two of them",
        "happened_at": NOON,
    }
    return PlaceHold(**(told | changes))


def held(house: House, *, at: datetime = NOON, **subject: Any) -> Hold:
    return place_hold(hold_of(happened_at=at, **subject), by=house.ana, at=at)


def lift_of(hold: Hold, *, at: datetime) -> LiftHold:
    return LiftHold(
        id=uuid4(), hold_id=hold.pk, why="Nothing found in ten skin scrapes", happened_at=at
    )


def lifted(house: House, hold: Hold, *, at: datetime) -> HoldLift:
    return lift_hold(lift_of(hold, at=at), by=house.vera, at=at)


def move_of(
    lot: Lot, source: Vessel, target: Vessel, *, at: datetime, **changes: Any
) -> MoveAnimals:
    told: dict[str, Any] = {
        "id": uuid4(),
        "lot_id": lot.pk,
        "from_vessel_id": source.pk,
        "to_vessel_id": target.pk,
        "count": 5,
        "method": "NET",
        "water_litres": Decimal(0),
        "happened_at": at,
    }
    return MoveAnimals(**(told | changes))


def moved(
    house: House, lot: Lot, source: Vessel, target: Vessel, *, at: datetime, **changes: Any
) -> Move:
    command = move_of(lot, source, target, at=at, **changes)
    return move_animals(command, by=house.ana, at=max(at, NOON))


def release_of(lot: Lot, source: Vessel, target: Vessel, **changes: Any) -> ReleaseLot:
    told: dict[str, Any] = {
        "id": uuid4(),
        "lot_id": lot.pk,
        "vessel_id": source.pk,
        "destination_id": target.pk,
        "count": 12,
        "feed_g_per_day": Decimal(3),
        "meaning": MEANING,
    }
    return ReleaseLot(**(told | changes))


def released(
    house: House, lot: Lot, source: Vessel, told: Proving, *, at: datetime, **changes: Any
) -> Release:
    command = release_of(lot, source, told.vessel, **changes)
    return release_lot(command, by=house.mo, at=at)


def planned(house: House, lot: Lot, vessel: Vessel, *, at: datetime) -> PlannedEntry:
    command = PlanEntry(
        id=uuid4(),
        vessel_id=vessel.pk,
        lot_id=lot.pk,
        count=6,
        planned_on=(at + 30 * DAY).date(),
        feed_g_per_day=Decimal("1.5"),
    )
    return plan_entry(command, by=house.mo, at=at)


def fit_again(told: Proving, *, at: datetime) -> None:
    """What the gate reads, read again."""
    for parameter, text in FIT.items():
        told.read(parameter, text, at=at)


def _thermometer(house: House) -> Any:
    known = house.site.methods.filter(name="Thermometer of the back room").first()
    if known:
        return known
    return kit(house, "TEMPERATURE", name="Thermometer of the back room", kind="PROBE")
