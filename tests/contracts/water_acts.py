"""Examples of what is done to waters and their start-ups, at ``AT``."""

from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

from quarantine.commands.admissions import AdmitAnimals
from tanks.commands.challenges import BeginChallenge, SignCertificate
from tanks.commands.changes import LogFeeding, LogWaterChange
from tanks.commands.cycles import EndCycle, StartCycle
from tanks.commands.doses import LogDose
from tanks.commands.incidents import LogIncident
from tanks.commands.products import RetireProduct, ShelveProduct
from tanks.commands.ramps import PlanRamp
from tanks.commands.seedings import LogSeeding
from tanks.commands.source_readings import LogSourceReading
from tanks.models import Vessel
from tests.cast import House
from tests.quarantine.ready import AT, admission_of, admitted, entry_of, ready
from tests.tanks.estate import measured, vessel_of
from tests.tanks.proving import HOUR, proving, start_of
from tests.tanks.samples import kit
from tests.tanks.shelf import dose_of, shelved


def to_shelve_product(house: House) -> ShelveProduct:
    return ShelveProduct(
        id=uuid4(),
        site_id=house.site.pk,
        name="Ammonia stock",
        substance="AMMONIUM_CHLORIDE",
        form="SOLUTION",
        strength=Decimal(100),
        batch="C2",
        expires_on=(AT + timedelta(days=200)).date(),
    )


def to_retire_product(house: House) -> RetireProduct:
    return RetireProduct(product_id=shelved(house).pk, happened_at=AT)


def to_log_dose(house: House) -> LogDose:
    return dose_of(shelved(house), _of_400_litres(house), happened_at=AT)


def to_log_water_change(house: House) -> LogWaterChange:
    return LogWaterChange(
        id=uuid4(),
        vessel_id=_of_400_litres(house).pk,
        litres=Decimal(120),
        happened_at=AT,
        source="Mains through carbon",
        source_nitrate_mg_l_n=Decimal("2.5"),
    )


def to_log_feeding(house: House) -> LogFeeding:
    return LogFeeding(
        id=uuid4(),
        vessel_id=_of_400_litres(house).pk,
        grams=Decimal("4.5"),
        protein_share=Decimal("0.45"),
        happened_at=AT,
    )


def to_log_seeding(house: House) -> LogSeeding:
    return LogSeeding(
        id=uuid4(),
        vessel_id=_of_400_litres(house).pk,
        kind="MATURE_MEDIA",
        product_id=None,
        origin="Sump of S-4, no treatments this year",
        quantity="2 L",
        happened_at=AT,
    )


def to_log_incident(house: House) -> LogIncident:
    return LogIncident(
        id=uuid4(),
        vessel_id=_of_400_litres(house).pk,
        kind="POWER_LOSS",
        lasted_h=Decimal("1.5"),
        note="Breaker tripped",
        happened_at=AT,
    )


def to_log_source_reading(house: House) -> LogSourceReading:
    method = kit(house, "CHLORINE")
    return LogSourceReading(
        id=uuid4(),
        site_id=house.site.pk,
        source="Mains",
        parameter="CHLORINE",
        method_id=method.pk,
        text="0.6",
        unit=method.unit,
        basis=method.basis,
        happened_at=AT,
    )


def to_plan_ramp(house: House) -> PlanRamp:
    return PlanRamp(
        id=uuid4(),
        cycle_id=ready(house).cycle.pk,
        of="TEMPERATURE",
        end=Decimal(22),
        starts_on=AT.date(),
        days=4,
    )


def to_start_cycle(house: House) -> StartCycle:
    return start_of(_of_400_litres(house), shelved(house), happened_at=AT)


def to_end_cycle(house: House) -> EndCycle:
    return EndCycle(cycle_id=proving(house).cycle.pk, outcome="GIVEN_UP", happened_at=AT)


def to_begin_challenge(house: House) -> BeginChallenge:
    told = proving(house)
    dose = told.dose(at=AT - HOUR)
    return BeginChallenge(id=uuid4(), cycle_id=told.cycle.pk, dose_id=dose.pk)


def to_judge_challenge(house: House) -> Any:
    return proving(house).judgeable(at=AT - 25 * HOUR)


def to_sign_certificate(house: House) -> SignCertificate:
    told = proving(house)
    begun = AT - 50 * HOUR
    first, second = (told.verdict(at=begun + i * (24 * HOUR + HOUR / 12)) for i in (0, 1))
    return told.signable(first, second)


def to_admit_animals(house: House) -> AdmitAnimals:
    return admission_of(ready(house))


def to_record_stocking(house: House) -> Any:
    return entry_of(admitted(ready(house)), at=AT)


def _of_400_litres(house: House) -> Vessel:
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    return vessel
