"""The commands people give most, each made from a few words."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any, Final
from uuid import UUID

from deploy.demo_data.acts import Act, decimal, ident
from deploy.demo_data.methods import METHODS
from deploy.demo_data.shelf import contents
from tanks.commands.changes import LogFeeding, LogWaterChange
from tanks.commands.devices import SwitchDevice
from tanks.commands.doses import LogDose
from tanks.commands.readings import LogReadings, ReadingTaken
from tanks.rules.dosing import AIMS, Start, amount

_WRITES_UP: Final = timedelta(minutes=6)


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """Something done at a water; its ids follow from ``name``."""

    name: str
    code: str
    at: datetime
    by: str

    def told(self, command: Any, *, after: timedelta) -> Act:
        return Act(at=self.at + after, by=self.by, command=command)


def sample(deed: Deed, *, texts: Mapping[str, str], told_after: timedelta = _WRITES_UP) -> Act:
    """``texts`` says what each method, by its key, read."""
    command = LogReadings(
        id=ident(f"sample:{deed.name}"),
        vessel_id=ident(deed.code),
        happened_at=deed.at,
        readings=tuple(_taken(deed.name, key, text) for key, text in texts.items()),
    )
    return deed.told(command, after=told_after)


def reading_id(name: str, key: str) -> UUID:
    return ident(f"reading:{name}:{key}")


def dose(
    deed: Deed,
    *,
    purpose: str,
    target: float,
    product: str,
    litres: float,
    start: Start | None = None,
) -> Act:
    """The amount is what the house computes, as far as scale and syringe show it."""
    target = float(f"{target:.2f}")
    found = amount(contents=contents(product), rise=target, volume_l=litres, start=start)
    command = LogDose(
        id=ident(f"dose:{deed.name}"),
        vessel_id=ident(deed.code),
        product_id=ident(f"product:{product}"),
        purpose=purpose,
        target=decimal(target),
        target_unit=AIMS[purpose].unit,
        amount=found.rounded,
        happened_at=deed.at,
    )
    return deed.told(command, after=timedelta(minutes=3))


def change(
    deed: Deed,
    *,
    litres: float,
    source: str,
    alkalinity_meq_l: float,
    salinity_g_kg: float | None = None,
) -> Act:
    command = LogWaterChange(
        id=ident(f"change:{deed.name}"),
        vessel_id=ident(deed.code),
        litres=decimal(litres, places=0),
        happened_at=deed.at,
        source=source,
        source_tan_mg_l_n=Decimal(0),
        source_alkalinity_meq_l=decimal(alkalinity_meq_l),
        source_salinity_g_kg=None if salinity_g_kg is None else decimal(salinity_g_kg, places=1),
    )
    return deed.told(command, after=timedelta(minutes=4))


def feeding(deed: Deed, *, grams: float, protein_share: float) -> Act:
    command = LogFeeding(
        id=ident(f"feeding:{deed.name}"),
        vessel_id=ident(deed.code),
        grams=decimal(grams, places=1),
        protein_share=decimal(protein_share),
        happened_at=deed.at,
    )
    return deed.told(command, after=timedelta(minutes=5))


def turned_off(deed: Deed, *, kind: str, why: str, due_back_at: datetime) -> Act:
    return _switched(deed, kind, is_on=False, why=why, due_back_at=due_back_at)


def turned_on(deed: Deed, *, kind: str) -> Act:
    return _switched(deed, kind, is_on=True, why="", due_back_at=None)


def _switched(deed: Deed, kind: str, *, is_on: bool, why: str, due_back_at: datetime | None) -> Act:
    command = SwitchDevice(
        id=ident(f"switch:{deed.name}"),
        device_id=ident(f"device:{deed.code}:{kind}"),
        is_on=is_on,
        why=why,
        due_back_at=due_back_at,
        owner_id=ident(f"person:{deed.by}"),
        happened_at=deed.at,
    )
    return deed.told(command, after=timedelta(minutes=1))


def _taken(name: str, key: str, text: str) -> ReadingTaken:
    means = METHODS[key]
    return ReadingTaken(
        id=reading_id(name, key),
        parameter=means.parameter,
        method_id=ident(f"method:{key}"),
        text=text,
        unit=means.unit,
        basis=means.basis,
    )
