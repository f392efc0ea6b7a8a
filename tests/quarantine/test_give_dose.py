"""No dose goes past the guard: each stop is met in the records, and only an act sets one aside."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest

from facility.models import Entry
from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotAllowed
from quarantine.commands.containers import RetireContainer, record_trial, retire_container
from quarantine.commands.course_ends import AbandonCourse, abandon_course
from quarantine.commands.courses import CourseEnded
from quarantine.commands.treatment_doses import (
    AmountNotPositive,
    DoseStopped,
    GiveDose,
    UnknownIntent,
    give_dose,
)
from quarantine.models import Species, SpeciesSheet, TreatmentDose
from tanks.commands.changes import LogWaterChange, log_water_change
from tests.cast import NOON, House
from tests.quarantine.arriving import lot_found, opened_lot, species_of
from tests.quarantine.treating import (
    DAY,
    HOUR,
    Told,
    computed_by,
    dose_of,
    given,
    level_read,
    read_water,
    shelved_container,
    told_course,
    trial_of,
)
from tests.tanks.estate import device_on, measured, opened, system_of

pytestmark = pytest.mark.django_db


def stopped_by(told: Told, dose: GiveDose) -> set[str]:
    with pytest.raises(DoseStopped) as refused:
        give_dose(dose, by=told.house.ana, at=dose.happened_at)
    return {one.code for one in refused.value.stops}


def test_a_right_dose_is_kept_with_what_it_came_to(house: House) -> None:
    told = told_course(house)

    dose = given(told)

    # 0.18 mg/L x 400 L / 254.51 mg/g (copper in CuSO4·5H2O) = 0.2829 g.
    assert dose.computed_amount == Decimal("0.283")
    assert (dose.unit, dose.water_litres) == ("g", Decimal(400))
    assert float(dose.level_after) == pytest.approx(0.18, abs=0.001)
    entry = Entry.objects.latest("pk")
    assert (entry.kind, entry.about) == ("quarantine.give-dose", f"tanks.vessel:{told.vessel.pk}")
    assert first_breach(house.site) is None


def test_delivered_twice_it_went_in_once(house: House) -> None:
    told = told_course(house)
    dose = dose_of(told)
    computed_by(told, dose, house.mo)

    first = give_dose(dose, by=house.ana, at=NOON)
    again = give_dose(dose, by=house.ana, at=NOON + DAY)

    assert (first, TreatmentDose.objects.count()) == (again, 1)
    with pytest.raises(IdTaken):
        give_dose(replace(dose, amount=Decimal("0.3")), by=house.ana, at=NOON)


def test_without_a_second_persons_own_computation_it_is_stopped(house: House) -> None:
    told = told_course(house)
    dose = dose_of(told)

    assert stopped_by(told, dose) == {"second-missing"}
    computed_by(told, dose, house.ana)
    assert stopped_by(told, dose) == {"second-missing"}
    computed_by(told, dose, house.mo, litres=Decimal(1800))
    assert stopped_by(told, dose) == {"second-disagrees"}
    computed_by(told, dose, house.vera)
    assert stopped_by(told, replace(dose, amount=dose.amount * 10)) >= {"second-disagrees"}
    assert not TreatmentDose.objects.exists()


def test_the_water_of_the_sheet_and_of_the_moment_must_be_one(house: House) -> None:
    """The valve was opened while somebody measured out: 80 L became 1880."""
    told = told_course(house)
    dose = dose_of(told)
    computed_by(told, dose, house.mo)
    system = system_of(house)
    measured(house, system, litres="1800")
    opened(house, told.vessel, system)

    found = stopped_by(told, replace(dose, happened_at=NOON + timedelta(minutes=2)))

    assert {"water-changed", "not-isolated"} <= found


def test_a_volume_measured_anew_stops_the_dose_worked_out_before(house: House) -> None:
    told = told_course(house)
    dose = dose_of(told, at=NOON + HOUR)
    measured(house, told.vessel, litres="300", at=NOON + HOUR / 2)

    assert "volume-changed" in stopped_by(told, dose)


def test_ten_times_as_much_is_stopped_even_if_the_second_person_wrote_the_same(
    house: House,
) -> None:
    told = told_course(house)
    dose = dose_of(told)
    much = replace(dose, amount=dose.amount * 10)
    computed_by(told, much, house.mo)

    assert stopped_by(told, much) >= {"far-from-computed", "over-window", "over-order"}


def test_an_invertebrate_anywhere_in_the_water_stops_copper(house: House) -> None:
    told = told_course(house)
    snail = species_of(house, "Turbo fluctuosus", group="MOLLUSC")
    opened_lot(house, replace(lot_found(house, told.vessel), species_id=snail.pk))
    dose = dose_of(told)
    computed_by(told, dose, house.mo)

    with pytest.raises(DoseStopped, match="L-0001 Turbo fluctuosus in Q-01"):
        give_dose(dose, by=house.ana, at=NOON)


def test_what_a_species_sheet_forbids_stops_the_dose(house: House) -> None:
    told = told_course(house)
    fish: Species = species_of(house)
    SpeciesSheet.objects.create(
        species=fish,
        period=(NOON - DAY, None),
        source="Own practice",
        stops=[{"agent": "COPPER_FREE", "why": "lost half of them in 2025"}],
    )
    opened_lot(house, lot_found(house, told.vessel))
    dose = dose_of(told)
    computed_by(told, dose, house.mo)

    with pytest.raises(DoseStopped, match="lost half of them in 2025"):
        give_dose(dose, by=house.ana, at=NOON)


def test_alkalinity_of_yesterday_does_not_do(house: House) -> None:
    told = told_course(house)
    late = NOON + 25 * HOUR
    dose = dose_of(told, at=late)
    computed_by(told, dose, house.mo)

    assert stopped_by(told, dose) == {"alkalinity-unread"}
    read_water(house, told.vessel, at=late)
    give_dose(dose, by=house.ana, at=late)
    assert TreatmentDose.objects.count() == 1


def test_carbon_that_runs_stops_it(house: House) -> None:
    told = told_course(house)
    device_on(house, told.vessel, kind="CARBON", name="Carbon 1")
    dose = dose_of(told)
    computed_by(told, dose, house.mo)

    assert stopped_by(told, dose) == {"device-on"}


def test_an_expired_and_another_container_and_one_taken_away(house: House) -> None:
    told = told_course(house)
    dose = dose_of(told, at=NOON)
    other = shelved_container(house, name="Copper tub 2")
    blue = shelved_container(house, "METHYLENE_BLUE")
    assert "wrong-agent" in stopped_by(told, replace(dose, container_id=blue.pk))

    given(told)
    top = dose_of(told, at=NOON + HOUR, rise="0.01", intent="TOP_UP", container_id=other.pk)
    computed_by(told, top, house.mo)
    assert "container-changed" in stopped_by(told, top)
    record_trial(trial_of(other, at=NOON), by=house.ana, at=NOON)
    retire_container(
        RetireContainer(container_id=other.pk, happened_at=NOON + HOUR / 2),
        by=house.ana,
        at=NOON + HOUR,
    )
    assert stopped_by(told, top) == {"container-retired"}


def test_what_a_change_took_is_put_back_and_the_full_dose_is_not(house: House) -> None:
    told = told_course(house)
    given(told)
    change = LogWaterChange(
        id=uuid4(), vessel_id=told.vessel.pk, litres=Decimal(120), happened_at=NOON + HOUR
    )
    log_water_change(change, by=house.ana, at=NOON + HOUR)

    full = dose_of(told, at=NOON + 2 * HOUR)
    computed_by(told, full, house.mo)
    assert "over-window" in stopped_by(told, full)
    # 0.18 mg/L x 120 of 400 L = 0.054.
    again = given(told, at=NOON + 2 * HOUR, rise="0.054", intent="REDOSE")
    assert float(again.level_after) == pytest.approx(0.18, abs=0.001)


def test_what_no_dose_is(house: House) -> None:
    told = told_course(house)
    dose = dose_of(told)

    with pytest.raises(AmountNotPositive):
        give_dose(replace(dose, amount=Decimal(0)), by=house.ana, at=NOON)
    with pytest.raises(UnknownIntent):
        give_dose(replace(dose, intent="BATH"), by=house.ana, at=NOON)
    with pytest.raises(NotAllowed):
        give_dose(dose, by=house.hale, at=NOON)


def test_a_formalin_bath_too_long_too_soon_or_untried(house: House) -> None:
    """21 CFR 529.1030: never more than 1 h, once a day, a few fish of each lot first."""
    told = told_course(house, "FORMALIN", target="200")
    dose = dose_of(told, rise="200", intent="BATH", minutes=61)
    computed_by(told, dose, house.mo)
    # The order says 60 min too.
    assert stopped_by(told, dose) == {"too-long", "over-ordered-minutes", "container-untried"}
    record_trial(trial_of(told.container), by=house.ana, at=NOON)

    first = given(told, rise="200", intent="BATH", minutes=60)
    assert (first.amount, first.unit) == (Decimal(80), "mL")
    soon = dose_of(told, at=NOON + 14 * HOUR, rise="200", intent="BATH", minutes=60)
    computed_by(told, soon, house.mo)
    assert "too-soon" in stopped_by(told, soon)


def test_a_cleared_or_abandoned_course_takes_no_dose(house: House) -> None:
    told = told_course(house)
    given(told)
    level_read(told, "0.17", at=NOON + HOUR)
    abandon_course(
        AbandonCourse(
            id=uuid4(), course_id=told.course.pk, happened_at=NOON + HOUR, note="Fish gasp"
        ),
        by=house.ana,
        at=NOON + HOUR,
    )
    with pytest.raises(CourseEnded, match="abandoned"):
        give_dose(dose_of(told, at=NOON + 2 * HOUR), by=house.ana, at=NOON + 2 * HOUR)
