"""The gate refuses and says everything at once; it opens only when every requirement is met.

Authority checks per action and the collaboration of two people: 21 CFR 11.10(g), 11.200(a)(3).
"""

from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest

from facility.models import Entry
from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotAllowed, NotFound
from quarantine.commands.admissions import GateClosed, MeaningMissing, admit_animals
from quarantine.models import Admission
from quarantine.queries.gate import gate_of
from tanks.commands.changes import LogWaterChange, log_water_change
from tanks.commands.devices import SwitchDevice, switch_device
from tanks.commands.incidents import LogIncident, log_incident
from tanks.commands.readings import CorrectReading, correct_reading
from tanks.models import Verdict
from tests.cast import House
from tests.quarantine.ready import AT, FIT, READ, SIGNED, admission_of, admitted, ready
from tests.tanks.estate import device_on, measured, opened, system_of, vessel_of
from tests.tanks.proving import DAY, HOUR, Proving, proving


def hindered(told: Proving, *, at: datetime = AT) -> set[str]:
    gate = gate_of(told.vessel, at=at)
    return {one.code for one in gate.requirements if one.state != "met"}


def test_it_refuses_with_every_hindrance_and_opens_when_all_are_met(house: House) -> None:
    told = proving(house)
    with pytest.raises(GateClosed) as refused:
        admit_animals(admission_of(told), by=house.mo, at=AT)
    assert len(refused.value.hindrances) >= 10
    assert refused.value.sentence.startswith("Not yet: ")
    assert not Admission.objects.exists()

    told.certified(at=READ - 50 * HOUR)
    for parameter, text in FIT.items():
        told.read(parameter, text, at=READ)
    admission = admitted(told)

    assert {one["state"] for one in admission.requirements} == {"met"}
    assert len(admission.requirements) >= 16
    assert any("<0.1 mg/L as N" in str(one["evidence"]) for one in admission.requirements)


def test_it_writes_one_line_about_the_start_up(house: House) -> None:
    told = ready(house)

    admission = admitted(told, by=house.vera)

    entry = Entry.objects.get(kind="quarantine.admit-animals")
    assert (entry.about, entry.by) == (f"tanks.cycle:{told.cycle.pk}", house.vera)
    assert entry.facts["rows"][0]["meaning"] == admission.meaning
    assert first_breach(house.site) is None


def test_delivered_twice_it_opens_once_even_after_the_water_changed(house: House) -> None:
    told = ready(house)
    command = admission_of(told)

    first = admit_animals(command, by=house.mo, at=AT)
    again = admit_animals(command, by=house.mo, at=AT + 9 * DAY)

    assert first == again
    assert Admission.objects.count() == 1
    with pytest.raises(IdTaken):
        admit_animals(replace(command, meaning="Something else"), by=house.mo, at=AT)


def test_only_a_manager_or_a_veterinarian_of_the_site_may_sign(house: House) -> None:
    command = admission_of(ready(house))

    for person, refusal in (
        (house.ana, NotAllowed),
        (house.hale, NotAllowed),
        (house.bo, NotFound),
    ):
        with pytest.raises(refusal):
            admit_animals(command, by=person, at=AT)
    with pytest.raises(MeaningMissing):
        admit_animals(replace(command, meaning="  "), by=house.mo, at=AT)


@pytest.mark.parametrize("parameter", sorted(FIT))
def test_each_reading_is_asked_for(house: House, parameter: str) -> None:
    told = ready(house, without=parameter)

    # The challenges read TAN, nitrite and pH themselves, and those are fresh enough still.
    left = set() if parameter in {"TAN", "NITRITE", "PH"} else {parameter.lower()}
    assert hindered(told) == left


def test_day_old_readings_do_not_open(house: House) -> None:
    told = ready(house)

    assert hindered(told) == set()
    late = hindered(told, at=READ + DAY + timedelta(minutes=1))
    assert late == {"tan", "nitrite", "ph", "temperature", "oxygen", "alkalinity"}


def test_a_correction_that_undoes_a_pass_shuts_the_gate(house: House) -> None:
    told = ready(house)
    nitrite = Verdict.objects.earliest("happened_at").nitrite
    correct_reading(
        CorrectReading(
            id=uuid4(),
            reading_id=nitrite.pk,
            text="1.5",
            unit=nitrite.unit,
            basis=nitrite.basis,
            method_id=nitrite.method_id,
            reason="The vial was read against the wrong chart.",
        ),
        by=house.ana,
        at=AT,
    )

    assert {"certificate", "passes-stand"} <= hindered(told, at=AT)
    with pytest.raises(GateClosed, match="Passes stand after every correction"):
        admitted(told, at=AT)


def test_new_water_asks_for_chlorine_again(house: House) -> None:
    told = ready(house)
    log_water_change(
        LogWaterChange(id=uuid4(), vessel_id=told.vessel.pk, litres=Decimal(50), happened_at=AT),
        by=house.ana,
        at=AT,
    )

    assert hindered(told, at=AT + HOUR) == {"chlorine"}


@pytest.mark.parametrize(
    ("kind", "lasted_h", "codes"),
    [
        ("DISINFECTANT", None, {"certificate", "incidents"}),
        ("MEDIA_DRIED", 2, {"certificate", "incidents"}),
        ("POWER_LOSS", 1, set()),
        ("POWER_LOSS", 5, {"certificate"}),
        ("POWER_LOSS", None, {"certificate", "incidents"}),
        ("OTHER", None, {"incidents"}),
        ("OTHER", 1, set()),
    ],
)
def test_incidents_shut_the_gate(
    house: House, kind: str, lasted_h: int | None, codes: set[str]
) -> None:
    told = ready(house)
    command = LogIncident(
        id=uuid4(),
        vessel_id=told.vessel.pk,
        kind=kind,
        lasted_h=None if lasted_h is None else Decimal(lasted_h),
        note="Found at the morning round",
        happened_at=SIGNED + HOUR,
    )
    log_incident(command, by=house.ana, at=AT)

    assert hindered(told) == codes


def test_another_vessel_in_the_water_shuts_the_gate(house: House) -> None:
    told = ready(house)
    system = system_of(house)
    measured(house, system, litres="10")
    opened(house, told.vessel, system, at=AT)

    assert {"same-members", "certificate"} <= hindered(told, at=AT + HOUR)


def test_devices_off_are_waited_for(house: House) -> None:
    told = ready(house)
    device = device_on(house, told.vessel, at=AT)

    assert hindered(told, at=AT + HOUR) == set()
    off = SwitchDevice(
        id=uuid4(),
        device_id=device.pk,
        is_on=False,
        why="New lamp",
        due_back_at=AT + DAY,
        owner_id=house.ana.pk,
        happened_at=AT,
    )
    switch_device(off, by=house.ana, at=AT)
    assert hindered(told, at=AT + HOUR) == {"devices"}


def test_of_a_water_without_start_up_nothing_is_promised(house: House) -> None:
    vessel = vessel_of(house, code="B-07")

    gate = gate_of(vessel, at=AT)

    assert not gate.opens
    assert gate.cycle is None
    assert gate.answer.startswith("Not yet: ")
