"""Builders of what stands on the shelf and of what was done to a water."""

from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from uuid import uuid4

from facility.models import Person
from tanks.commands.cycles import StartCycle, start_cycle
from tanks.commands.doses import LogDose, log_dose
from tanks.commands.products import ShelveProduct, shelve_product
from tanks.models import Cycle, Dose, Product, Vessel
from tests.cast import NOON, House


def shelved(
    house: House,
    *,
    substance: str = "AMMONIUM_CHLORIDE",
    form: str = "SOLID",
    strength: str = "1",
    batch: str = "B7",
    expires_on: date | None = None,
) -> Product:
    command = ShelveProduct(
        id=uuid4(),
        site_id=house.site.pk,
        name=f"{substance} {form}",
        substance=substance,
        form=form,
        strength=Decimal(strength),
        batch=batch,
        expires_on=expires_on,
    )
    return shelve_product(command, by=house.mo, at=NOON)


def dose_of(product: Product, vessel: Vessel, **changes: object) -> LogDose:
    """2 mg/L-N in 400 L, 3.06 g of ammonium chloride, unless told otherwise."""
    command = LogDose(
        id=uuid4(),
        vessel_id=vessel.pk,
        product_id=product.pk,
        purpose="AMMONIA",
        target=Decimal(2),
        target_unit="mg/L-N",
        amount=Decimal("3.06"),
        happened_at=NOON,
    )
    return replace(command, **changes)  # type: ignore[arg-type]  # each test changes what it is about


def dosed(product: Product, vessel: Vessel, *, by: Person, **changes: object) -> Dose:
    command = dose_of(product, vessel, **changes)
    return log_dose(command, by=by, at=max(command.happened_at, NOON))


def started(house: House, vessel: Vessel, product: Product, *, at: datetime = NOON) -> Cycle:
    command = StartCycle(
        id=uuid4(),
        vessel_id=vessel.pk,
        water_kind="MARINE",
        seed="CULTURE",
        seed_origin="",
        has_substrate=True,
        ammonia_id=product.pk,
        declared_feed_g_per_day=Decimal(10),
        protein_share=Decimal("0.45"),
        cycling_temperature_c=Decimal(28),
        cycling_salinity_g_kg=Decimal(19),
        stocking_temperature_c=Decimal(25),
        stocking_salinity_g_kg=Decimal(35),
        happened_at=at,
    )
    return start_cycle(command, by=house.mo, at=max(at, NOON))
