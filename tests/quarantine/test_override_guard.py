"""A stop is set aside by an act of its own: one stop of one dose, as it was said, by who may."""

from dataclasses import replace
from decimal import Decimal
from uuid import uuid4

import pytest

from facility.models import Entry
from facility.refusals import NotAllowed, NotFound
from quarantine.commands.overrides import (
    NotStopped,
    StopIsFinal,
    WhyMissing,
    override_guard,
)
from quarantine.commands.treatment_doses import (
    DoseStopped,
    GiveDose,
    give_dose,
)
from quarantine.models import Override, TreatmentDose
from tests.cast import NOON, House
from tests.quarantine.arriving import lot_found, opened_lot, species_of
from tests.quarantine.treating import (
    HOUR,
    Told,
    computed_by,
    dose_of,
    override_of,
    told_course,
)
from tests.tanks.estate import device_on, measured

pytestmark = pytest.mark.django_db


def stopped_by(told: Told, dose: GiveDose) -> set[str]:
    with pytest.raises(DoseStopped) as refused:
        give_dose(dose, by=told.house.ana, at=dose.happened_at)
    return {one.code for one in refused.value.stops}


def test_one_stop_is_set_aside_by_an_act_and_only_that_one(house: House) -> None:
    told = told_course(house)
    device_on(house, told.vessel, kind="CARBON", name="Carbon 1")
    dose = dose_of(told)
    assert stopped_by(told, dose) == {"device-on", "second-missing"}

    override = override_guard(override_of(dose, house.ana, "device-on"), by=house.vera, at=NOON)

    assert (override.role, override.by) == ("VETERINARIAN", house.vera)
    assert Entry.objects.latest("pk").kind == "quarantine.override-guard"
    assert stopped_by(told, dose) == {"second-missing"}
    override_guard(override_of(dose, house.ana, "second-missing"), by=house.mo, at=NOON)
    give_dose(dose, by=house.ana, at=NOON)
    assert TreatmentDose.objects.count() == 1


def test_an_override_covers_neither_another_dose_nor_another_amount(house: House) -> None:
    told = told_course(house)
    dose = dose_of(told)
    override_guard(override_of(dose, house.ana, "second-missing"), by=house.vera, at=NOON)

    assert stopped_by(told, replace(dose, id=uuid4())) == {"second-missing"}
    more = replace(dose, amount=dose.amount + Decimal("0.01"))
    assert stopped_by(told, more) == {"second-missing"}


def test_an_override_holds_only_for_what_the_stop_said(house: House) -> None:
    """Another animal came in after the vet set the stop for the first aside."""
    told = told_course(house)
    snail = species_of(house, "Turbo fluctuosus", group="MOLLUSC")
    opened_lot(house, replace(lot_found(house, told.vessel), species_id=snail.pk))
    dose = dose_of(told)
    computed_by(told, dose, house.mo)
    override_guard(override_of(dose, house.ana, "animals"), by=house.vera, at=NOON)
    shrimp = species_of(house, "Lysmata debelius", group="CRUSTACEAN")
    opened_lot(house, replace(lot_found(house, told.vessel), id=uuid4(), species_id=shrimp.pk))

    assert stopped_by(told, dose) == {"animals"}


def test_who_may_set_a_stop_aside_and_which(house: House) -> None:
    told = told_course(house)
    dose = dose_of(told, at=NOON + HOUR)
    command = override_of(dose, house.ana, "second-missing")

    with pytest.raises(NotAllowed):
        override_guard(command, by=house.ana, at=NOON)
    with pytest.raises(NotFound):
        override_guard(command, by=house.bo, at=NOON)
    with pytest.raises(WhyMissing):
        override_guard(replace(command, why="  "), by=house.mo, at=NOON)
    with pytest.raises(NotStopped):
        override_guard(replace(command, stop="animals"), by=house.mo, at=NOON)
    measured(house, told.vessel, litres="300", at=NOON + HOUR / 2)
    with pytest.raises(StopIsFinal):
        override_guard(replace(command, stop="volume-changed"), by=house.mo, at=NOON + HOUR)
    assert not Override.objects.exists()
