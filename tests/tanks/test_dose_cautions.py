"""What is asked about or refused before a product goes into a water. Trade practice, no source."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from facility.models import Entry
from tanks.commands import allowing, doses
from tanks.commands.doses import log_dose
from tanks.models import Dose, Product, Vessel
from tanks.sockets.stocking import StockingSource, stocking_sources
from tests.cast import NOON, House
from tests.tanks.estate import measured, opened, system_of, vessel_of
from tests.tanks.samples import kit, logged
from tests.tanks.shelf import dose_of, dosed, shelved, started


@pytest.fixture
def tank(house: House) -> Vessel:
    """A lone tank of 400 L."""
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    return vessel


@pytest.fixture
def salt(house: House) -> Product:
    return shelved(house)


def test_a_tenfold_slip_is_asked_about_once(house: House, tank: Vessel, salt: Product) -> None:
    # Target small enough that ten times as much stays under the cap: only the slip speaks.
    command = dose_of(salt, tank, target=Decimal("0.3"), amount=Decimal("4.6"))

    with pytest.raises(
        doses.AmountFarFromComputed, match=r"computed was 0\.46 g, 10 times"
    ) as told:
        log_dose(command, by=house.ana, at=NOON)
    log_dose(replace(command, confirmed=frozenset([told.value.code])), by=house.ana, at=NOON)

    line = Entry.objects.get(kind="tanks.log-dose")
    assert line.facts["confirmed"] == ["amount-far-from-computed"]


def test_second_doser_is_told_who_dosed_and_asked_once(
    house: House, tank: Vessel, salt: Product
) -> None:
    dosed(salt, tank, by=house.ana)
    later = NOON + timedelta(hours=9)
    logged(house, tank, kit(house, "TAN"), "1.8", at=later - timedelta(minutes=5))
    command = dose_of(salt, tank, happened_at=later)

    with pytest.raises(doses.DosedAlready, match=r"Ana Quill put 3\.06 g"):
        log_dose(command, by=house.mo, at=later)
    log_dose(replace(command, confirmed=frozenset(["dosed-already"])), by=house.mo, at=later)

    assert Dose.objects.count() == 2


def test_dose_into_another_tank_of_the_same_water_counts(house: House, salt: Product) -> None:
    system, front, back = system_of(house), vessel_of(house), vessel_of(house, code="A-02")
    for vessel, litres in ((system, "300"), (front, "50"), (back, "50")):
        measured(house, vessel, litres=litres)
    opened(house, front, system)
    opened(house, back, system)
    dosed(salt, front, by=house.ana)
    logged(house, system, kit(house, "TAN"), "2", at=NOON + timedelta(hours=1))

    with pytest.raises(doses.DosedAlready):
        dosed(salt, back, by=house.mo, happened_at=NOON + timedelta(hours=2))


def test_next_day_nobody_is_asked(house: House, tank: Vessel, salt: Product) -> None:
    dosed(salt, tank, by=house.ana)
    tomorrow = NOON + timedelta(days=1)
    logged(house, tank, kit(house, "TAN"), "0.3", at=tomorrow)

    dosed(salt, tank, by=house.mo, happened_at=tomorrow)

    assert Dose.objects.count() == 2


def test_another_effect_is_not_a_double_dose(house: House, tank: Vessel, salt: Product) -> None:
    soda = shelved(house, substance="SODIUM_BICARBONATE")
    dosed(salt, tank, by=house.ana)

    dosed(
        soda,
        tank,
        by=house.mo,
        purpose="ALKALINITY",
        target=Decimal(1),
        target_unit="meq/L",
        amount=Decimal("33.6"),
    )

    assert Dose.objects.count() == 2


def test_dose_that_would_pass_the_cap_is_refused_with_numbers(
    house: House, tank: Vessel, salt: Product
) -> None:
    started(house, tank, salt)
    logged(house, tank, kit(house, "TAN"), "4", at=NOON)

    with pytest.raises(allowing.TanOverCap, match=r"come to 6 mg/L-N: 4 read, 2"):
        log_dose(dose_of(salt, tank), by=house.ana, at=NOON)
    assert not Dose.objects.exists()


def test_no_confirmation_gets_a_dose_past_the_cap(
    house: House, tank: Vessel, salt: Product
) -> None:
    logged(house, tank, kit(house, "TAN"), "4", at=NOON)
    codes = frozenset(["dosed-already", "amount-far-from-computed", "tan-over-cap"])

    with pytest.raises(allowing.TanOverCap):
        log_dose(dose_of(salt, tank, confirmed=codes), by=house.ana, at=NOON)


def test_cap_looks_at_what_was_measured_out_not_at_the_target(
    house: House, tank: Vessel, salt: Product
) -> None:
    with pytest.raises(allowing.TanOverCap):
        log_dose(dose_of(salt, tank, amount=Decimal("30.6")), by=house.ana, at=NOON)


def test_after_the_first_dose_tan_is_read_before_the_next(
    house: House, tank: Vessel, salt: Product
) -> None:
    dosed(salt, tank, by=house.ana)
    tomorrow = NOON + timedelta(days=1)

    with pytest.raises(allowing.TanUnread):
        dosed(salt, tank, by=house.ana, happened_at=tomorrow)


def test_ammonia_never_goes_to_animals(house: House, tank: Vessel, salt: Product) -> None:
    started(house, tank, salt)
    stocked = StockingSource("test", lambda ids: dict.fromkeys(ids, NOON))

    with stocking_sources.plugged(stocked), pytest.raises(allowing.WaterStocked):
        log_dose(dose_of(salt, tank), by=house.ana, at=NOON)


def test_bicarbonate_goes_to_animals(house: House, tank: Vessel, salt: Product) -> None:
    started(house, tank, salt)
    soda = shelved(house, substance="SODIUM_BICARBONATE")
    stocked = StockingSource("test", lambda ids: dict.fromkeys(ids, NOON))

    with stocking_sources.plugged(stocked):
        dose = dosed(
            soda,
            tank,
            by=house.ana,
            purpose="ALKALINITY",
            target=Decimal(1),
            target_unit="dKH",
            amount=Decimal(12),
        )

    # 2.996 g NaHCO3 per 100 L per dKH.
    assert float(dose.computed_amount) == pytest.approx(4 * 2.996, rel=1e-3)
