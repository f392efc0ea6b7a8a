"""Builders of kits and resets, each through its command, and of a lot in a tank."""

from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

from quarantine.commands.books import Change, enter, next_code
from quarantine.commands.kit_uses import CleanKit, UseKit, clean_kit, use_kit
from quarantine.commands.kits import OpenKit, open_kit
from quarantine.commands.resets import StartReset, TakeResetStep, start_reset, take_reset_step
from quarantine.models import (
    CountChange,
    Kit,
    KitCleaning,
    KitUse,
    Lot,
    ResetStep,
    Species,
    TankReset,
)
from tanks.models import Reading, Vessel
from tests.cast import NOON, House
from tests.tanks.estate import a_label
from tests.tanks.samples import kit as method_of
from tests.tanks.samples import logged

HOUR = timedelta(hours=1)
MINUTE = timedelta(minutes=1)


def kit_of(house: House, **changes: Any) -> OpenKit:
    told: dict[str, Any] = {
        "id": uuid4(),
        "site_id": house.site.pk,
        "area_id": house.area.pk,
        "kind": "NET",
        "code": "N-03",
        "name": "Fine net, blue handle",
        "label": a_label(),
    }
    return OpenKit(**(told | changes))


def net(house: House, *, code: str = "N-03", kind: str = "NET") -> Kit:
    return open_kit(kit_of(house, code=code, kind=kind), by=house.mo, at=NOON)


def use_of(kit: Kit, vessel: Vessel, *, at: datetime = NOON, **changes: Any) -> UseKit:
    told: dict[str, Any] = {
        "id": uuid4(),
        "kit_id": kit.pk,
        "vessel_id": vessel.pk,
        "happened_at": at,
    }
    return UseKit(**(told | changes))


def used(
    house: House, kit: Kit, vessel: Vessel, *, at: datetime = NOON, asked: bool = False
) -> KitUse:
    confirmed = frozenset({"kit-not-cleaned"} if asked else ())
    command = use_of(kit, vessel, at=at, confirmed=confirmed)
    return use_kit(command, by=house.ana, at=max(at, NOON))


def cleaning_of(kit: Kit, *, at: datetime = NOON, **changes: Any) -> CleanKit:
    told: dict[str, Any] = {
        "id": uuid4(),
        "kit_id": kit.pk,
        "means": "DISINFECTED",
        "disinfectant": "Bleach bath, 200 mg/L as Cl2",
        "minutes": 10,
        "happened_at": at,
    }
    return CleanKit(**(told | changes))


def cleaned(house: House, kit: Kit, *, at: datetime, **changes: Any) -> KitCleaning:
    return clean_kit(cleaning_of(kit, at=at, **changes), by=house.ana, at=max(at, NOON))


def reset_of(vessel: Vessel, *, at: datetime = NOON, **changes: Any) -> StartReset:
    told: dict[str, Any] = {
        "id": uuid4(),
        "vessel_id": vessel.pk,
        "why": "White spots in the last lot",
        "chlorine_mg_l": Decimal(200),
        "contact_minutes": 60,
        "happened_at": at,
    }
    return StartReset(**(told | changes))


def begun(house: House, vessel: Vessel, *, at: datetime = NOON) -> TankReset:
    return start_reset(reset_of(vessel, at=at), by=house.ana, at=max(at, NOON))


def step_of(reset: TankReset, step: str, *, at: datetime, **changes: Any) -> TakeResetStep:
    told: dict[str, Any] = {"id": uuid4(), "reset_id": reset.pk, "step": step, "happened_at": at}
    return TakeResetStep(**(told | changes))


def stepped(
    house: House, reset: TankReset, step: str, *, at: datetime, **changes: Any
) -> ResetStep:
    return take_reset_step(step_of(reset, step, at=at, **changes), by=house.ana, at=at)


def rinsed(house: House, reset: TankReset) -> None:
    """Cleaned after a quarter of an hour, an hour in contact, rinsed at once."""
    begun_at = reset.happened_at
    stepped(house, reset, "CLEANED", at=begun_at + 15 * MINUTE)
    stepped(house, reset, "IN_CONTACT", at=begun_at + 20 * MINUTE)
    stepped(house, reset, "RINSED", at=begun_at + 80 * MINUTE)


def chlorine_read(house: House, vessel: Vessel, text: str, *, at: datetime) -> Reading:
    method = method_of(house, "CHLORINE", name=f"Photometer {uuid4().hex[:6]}")
    return logged(house, vessel, method, text, at=at)


def lot_in(
    house: House,
    vessel: Vessel,
    *,
    count: int = 12,
    at: datetime = NOON,
    species: str = "Paracheirodon innesi",
) -> Lot:
    """A lot that was found in the tank when the book was opened."""
    kind, _ = Species.objects.get_or_create(
        site=house.site,
        scientific_name=species,
        defaults={"vernacular_name": "Tetra", "group": "FISH", "water_kind": "FRESH"},
    )
    lot = Lot.objects.create(
        site=house.site, code=next_code(house.site), species=kind, acquired_at=at, made="FOUND"
    )
    change = Change(
        id=uuid4(), kind="FOUND", count=count, happened_at=at, to_lot=lot, to_vessel=vessel
    )
    enter(change, by=house.ana, at=max(at, NOON))
    return lot


def moved(
    house: House, lot: Lot, source: Vessel, target: Vessel, *, count: int, at: datetime
) -> CountChange:
    change = Change(
        id=uuid4(),
        kind="MOVED",
        count=count,
        happened_at=at,
        from_lot=lot,
        from_vessel=source,
        to_lot=lot,
        to_vessel=target,
    )
    return enter(change, by=house.ana, at=max(at, NOON))
