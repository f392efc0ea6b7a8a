"""Doses. 2 mg/L-N in 400 L takes 3.06 g NH₄Cl: molar masses 53.49 and 14.007."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import Error, IntegrityError, connection, transaction

from facility.commands.deliveries import InTheFuture
from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound, Refusal
from tanks.commands import doses, products
from tanks.commands.doses import log_dose
from tanks.commands.finding import VesselRetired
from tanks.commands.litres import NotYetThere, VolumeUnknown
from tanks.commands.products import RetireProduct, retire_product
from tanks.commands.vessels import RetireVessel, retire_vessel
from tanks.models import Dose, Product, Vessel
from tests.cast import NOON, House
from tests.tanks.estate import closed, measured, opened, system_of, vessel_of
from tests.tanks.samples import kit, logged
from tests.tanks.shelf import dose_of, dosed, shelved


@pytest.fixture
def tank(house: House) -> Vessel:
    """A lone tank of 400 L."""
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    return vessel


@pytest.fixture
def salt(house: House) -> Product:
    return shelved(house)


def test_dose_is_kept_with_what_was_computed_for_it(
    house: House, tank: Vessel, salt: Product
) -> None:
    dose = log_dose(dose_of(salt, tank), by=house.ana, at=NOON)

    dose.refresh_from_db()
    assert float(dose.computed_amount) == pytest.approx(800 / 261.867, rel=1e-3)
    assert (dose.amount, dose.unit, dose.water_litres) == (Decimal("3.06"), "g", Decimal(400))
    line = Entry.objects.get(kind="tanks.log-dose")
    assert (line.about, line.by) == (f"tanks.vessel:{tank.pk}", house.ana)
    assert line.facts["confirmed"] == []


def test_delivered_twice_is_dosed_once(house: House, tank: Vessel, salt: Product) -> None:
    command = dose_of(salt, tank)

    first = log_dose(command, by=house.ana, at=NOON)
    again = log_dose(command, by=house.ana, at=NOON)

    assert first == again
    assert Dose.objects.count() == 1
    assert Entry.objects.filter(kind="tanks.log-dose").count() == 1


def test_same_id_with_another_amount_is_refused(house: House, tank: Vessel, salt: Product) -> None:
    command = dose_of(salt, tank)
    log_dose(command, by=house.ana, at=NOON)

    with pytest.raises(IdTaken):
        log_dose(replace(command, amount=Decimal(3)), by=house.ana, at=NOON)


def test_stranger_finds_no_such_tank(house: House, tank: Vessel, salt: Product) -> None:
    with pytest.raises(NotFound):
        log_dose(dose_of(salt, tank), by=house.bo, at=NOON)


def test_auditor_doses_nothing(house: House, tank: Vessel, salt: Product) -> None:
    with pytest.raises(NotAllowed):
        log_dose(dose_of(salt, tank), by=house.hale, at=NOON)


def test_tank_whose_valve_was_closed_yesterday_gets_its_own_dose(
    house: House, salt: Product
) -> None:
    # Trade error 22x: an 80 L tank dosed for the 1,800 L system it was cut off from.
    earlier = NOON - timedelta(days=2)
    system, vessel = system_of(house, at=earlier), vessel_of(house, at=earlier)
    measured(house, system, litres="1720", at=earlier)
    measured(house, vessel, litres="80", at=earlier)
    pipe = opened(house, vessel, system, at=earlier)
    together = dosed(salt, vessel, by=house.ana, happened_at=earlier, amount=Decimal("13.7"))
    closed(house, pipe, at=NOON - timedelta(days=1))
    logged(house, vessel, kit(house, "TAN"), "0.2", at=NOON - timedelta(hours=1))

    alone = dosed(salt, vessel, by=house.ana, amount=Decimal("0.61"))

    assert (together.water_litres, alone.water_litres) == (Decimal(1800), Decimal(80))
    assert float(together.computed_amount) / float(alone.computed_amount) == pytest.approx(
        22.5, rel=1e-2
    )


def test_unmeasured_member_is_named(house: House, tank: Vessel, salt: Product) -> None:
    system = system_of(house, code="S-9")
    opened(house, tank, system)

    with pytest.raises(VolumeUnknown, match="S-9"):
        log_dose(dose_of(salt, tank), by=house.ana, at=NOON)


def test_dose_before_the_tank_was_there_is_refused(
    house: House, tank: Vessel, salt: Product
) -> None:
    early = dose_of(salt, tank, happened_at=NOON - timedelta(days=1))

    with pytest.raises(NotYetThere):
        log_dose(early, by=house.ana, at=NOON)


def test_dose_of_tomorrow_is_refused(house: House, tank: Vessel, salt: Product) -> None:
    early = dose_of(salt, tank, happened_at=NOON + timedelta(days=1))

    with pytest.raises(InTheFuture):
        log_dose(early, by=house.ana, at=NOON)


def test_retired_tank_takes_no_dose(house: House, tank: Vessel, salt: Product) -> None:
    hour = NOON + timedelta(hours=1)
    retire_vessel(RetireVessel(vessel_id=tank.pk, happened_at=hour), by=house.mo, at=hour)

    with pytest.raises(VesselRetired):
        log_dose(dose_of(salt, tank, happened_at=hour), by=house.ana, at=hour)


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"purpose": "TASTE"}, doses.UnknownPurpose),
        ({"purpose": "ALKALINITY"}, products.WrongSubstance),
        ({"target_unit": "ppm"}, doses.WrongTargetUnit),
        ({"target": Decimal(0)}, doses.TargetOffScale),
        ({"target": Decimal(200_000)}, doses.TargetOffScale),
        ({"target": Decimal("0.001")}, doses.TooLittle),
        ({"amount": Decimal(0)}, doses.AmountNotPositive),
        ({"product_id": uuid4()}, NotFound),
    ],
)
def test_dose_that_cannot_be_is_refused(
    house: House, tank: Vessel, salt: Product, changes: dict[str, object], refusal: type[Refusal]
) -> None:
    with pytest.raises(refusal):
        log_dose(dose_of(salt, tank, **changes), by=house.ana, at=NOON)
    assert not Dose.objects.exists()


def test_expired_container_is_refused_from_the_day_after(house: House, tank: Vessel) -> None:
    salt = shelved(house, expires_on=date(2026, 3, 29))
    log_dose(dose_of(salt, tank), by=house.ana, at=NOON)
    later = NOON + timedelta(days=1)
    logged(house, tank, kit(house, "TAN"), "0", at=later)

    with pytest.raises(products.ProductExpired, match="29 March 2026"):
        log_dose(dose_of(salt, tank, happened_at=later), by=house.ana, at=later)


def test_retired_container_is_refused(house: House, tank: Vessel, salt: Product) -> None:
    retire_product(RetireProduct(product_id=salt.pk, happened_at=NOON), by=house.ana, at=NOON)

    with pytest.raises(products.ProductRetired):
        log_dose(dose_of(salt, tank), by=house.ana, at=NOON)


def test_dechlorination_is_seven_to_one(house: House, tank: Vessel) -> None:
    # Laboratory practice: 7.0 mg of pentahydrate per mg of chlorine as Cl2.
    thio = shelved(house, substance="SODIUM_THIOSULFATE")

    dose = dosed(
        thio,
        tank,
        by=house.ana,
        purpose="DECHLORINATE",
        target=Decimal("1.5"),
        target_unit="mg/L as Cl2",
        amount=Decimal("4.2"),
    )

    assert float(dose.computed_amount) == pytest.approx(7 * 1.5 * 0.4, rel=1e-3)


def test_salt_waits_for_salinity_and_temperature(house: House, tank: Vessel) -> None:
    sea_salt = shelved(house, substance="SEA_SALT")
    command = dose_of(
        sea_salt,
        tank,
        purpose="SALINITY",
        target=Decimal(1),
        target_unit="g/kg",
        amount=Decimal(430),
    )
    with pytest.raises(doses.SalinityUnread):
        log_dose(command, by=house.ana, at=NOON)
    logged(house, tank, kit(house, "SALINITY"), "34", at=NOON)
    logged(house, tank, kit(house, "TEMPERATURE"), "25", at=NOON)

    dose = log_dose(command, by=house.ana, at=NOON)

    # 1 g/kg in 400 L of 1.0226 kg/L: about 409 kg of water and salt, 1.00472 g/kg each, over 0.965.
    assert float(dose.computed_amount) == pytest.approx(409 * 1.00472 / 0.9648, rel=1e-2)


def test_database_refuses_an_amount_of_nothing(house: House, tank: Vessel, salt: Product) -> None:
    dose = dosed(salt, tank, by=house.ana)
    dose.pk, dose.amount = uuid4(), Decimal(0)

    with pytest.raises(IntegrityError), transaction.atomic():
        dose.save(force_insert=True)


def test_database_changes_no_dose(house: House, tank: Vessel, salt: Product) -> None:
    dosed(salt, tank, by=house.ana)

    with pytest.raises(Error), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("UPDATE tanks_dose SET amount = 1")
