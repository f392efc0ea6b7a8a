"""Doses from the shelf are guarded where animals live, and no tick on the sheet passes them."""

from datetime import timedelta
from decimal import Decimal

import pytest

from quarantine.models import SpeciesSheet
from tanks.commands.doses import DoseStopped, VolumeChanged, log_dose
from tanks.models import Dose
from tests.cast import NOON, House
from tests.quarantine.arriving import lot_found, opened_lot, species_of
from tests.tanks.estate import measured, opened, system_of, vessel_of
from tests.tanks.shelf import dose_of, dosed, shelved

pytestmark = pytest.mark.django_db
TICKS = frozenset({"amount-far-from-computed", "dosed-already"})
# 1 meq/L x 400 L x 84.007 g/mol = 33.6 g of sodium bicarbonate.
BUFFER = {"purpose": "ALKALINITY", "target": Decimal(1), "target_unit": "meq/L"}


def test_ammonia_does_not_go_where_a_lot_lives_anywhere_in_the_water(house: House) -> None:
    tank, system = vessel_of(house), system_of(house)
    measured(house, tank, litres="100")
    measured(house, system, litres="300")
    opened(house, tank, system)
    opened_lot(house, lot_found(house, tank))

    with pytest.raises(DoseStopped, match="30 Paracheirodon innesi in A-01"):
        log_dose(dose_of(shelved(house), system, confirmed=TICKS), by=house.ana, at=NOON)
    assert not Dose.objects.exists()


def test_ten_times_the_computed_is_no_question_where_animals_live(house: House) -> None:
    tank = vessel_of(house)
    measured(house, tank, litres="400")
    soda = shelved(house, substance="SODIUM_BICARBONATE")
    opened_lot(house, lot_found(house, tank))
    much = dose_of(soda, tank, amount=Decimal(336), confirmed=TICKS, **BUFFER)

    with pytest.raises(DoseStopped, match="10 times the computed"):
        log_dose(much, by=house.ana, at=NOON)
    dosed(soda, tank, by=house.ana, amount=Decimal("33.6"), **BUFFER)
    assert Dose.objects.count() == 1


def test_what_a_species_sheet_forbids(house: House) -> None:
    tank = vessel_of(house)
    measured(house, tank, litres="400")
    SpeciesSheet.objects.create(
        species=species_of(house),
        period=(NOON - timedelta(days=1), None),
        source="Own practice",
        stops=[{"agent": "SODIUM_BICARBONATE", "why": "soft water only"}],
    )
    opened_lot(house, lot_found(house, tank))
    soda = shelved(house, substance="SODIUM_BICARBONATE")

    with pytest.raises(DoseStopped, match="soft water only"):
        dosed(soda, tank, by=house.ana, amount=Decimal("33.6"), **BUFFER)


def test_a_sheet_opened_for_another_volume_is_refused(house: House) -> None:
    tank = vessel_of(house)
    measured(house, tank, litres="400")
    salt = shelved(house)

    with pytest.raises(VolumeChanged, match="A-01 hold 400 L net"):
        dosed(salt, tank, by=house.ana, seen_litres=Decimal(1800))
    dosed(salt, tank, by=house.ana, seen_litres=Decimal(400))
    assert Dose.objects.count() == 1
