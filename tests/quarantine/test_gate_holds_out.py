"""Ways past the gate that are none."""

from dataclasses import replace
from datetime import timedelta

import pytest

from facility.refusals import IdTaken
from quarantine.commands.admissions import ProofLost, admit_animals, record_stocking
from quarantine.models import Stocking
from quarantine.queries.gate import gate_of
from quarantine.rules.readings import read as judged
from tanks.commands.certificates import sign_certificate
from tanks.commands.readings import log_readings
from tests.cast import NOON, House
from tests.quarantine.proven import AT as THEN
from tests.quarantine.proven import START_UP, known, read
from tests.quarantine.ready import AT, admission_of, admitted, entry_of, ready
from tests.tanks.estate import measured, opened, system_of
from tests.tanks.proving import HOUR, proving
from tests.tanks.samples import kit, sample, taken


def test_nobody_signs_by_sending_what_another_has_signed(house: House) -> None:
    """Signatures are unique to one person: 21 CFR 11.100(a)."""
    told = ready(house)
    command = admission_of(told)
    admit_animals(command, by=house.mo, at=AT)

    with pytest.raises(IdTaken):
        admit_animals(command, by=house.vera, at=AT)


def test_nobody_certifies_by_sending_what_another_has_signed(house: House) -> None:
    told = proving(house)
    command = told.signable(*told.two_passes())
    sign_certificate(command, by=house.vera, at=NOON + 49 * HOUR)

    with pytest.raises(IdTaken):
        sign_certificate(command, by=house.mo, at=NOON + 49 * HOUR)


def test_a_valve_opened_after_the_gate_was_shuts_it_again(house: House) -> None:
    told = ready(house)
    admission = admitted(told)
    system = system_of(house)
    measured(house, system, litres="400")
    opened(house, told.vessel, system, at=AT + HOUR)

    with pytest.raises(ProofLost, match="Other vessels share the water"):
        record_stocking(entry_of(admission), by=house.ana, at=AT + 3 * HOUR)
    assert not Stocking.objects.exists()


def test_chlorine_read_before_the_start_up_proves_nothing_of_its_water() -> None:
    begun = replace(START_UP, started_at=THEN - timedelta(hours=100))

    old = {one.code: one.state for one in judged(known(start_ups=(begun,)), THEN)}
    kept = {one.code: one.state for one in judged(known(), THEN)}

    assert known().latest["CHLORINE"] == read("CHLORINE", 0, 0.01, hours_ago=200)
    assert (old["chlorine"], kept["chlorine"]) == ("unknown", "met")


def test_the_same_sample_by_another_method_is_not_the_same(house: House) -> None:
    told = proving(house)
    first, other = told.method("TAN"), kit(house, "TAN", name="Strip")
    reading = taken(first, "0.2")
    command = sample(told.vessel, reading)
    log_readings(command, by=house.ana, at=NOON)

    with pytest.raises(IdTaken):
        log_readings(
            replace(command, readings=(replace(reading, method_id=other.pk),)),
            by=house.ana,
            at=NOON,
        )


def test_a_zero_off_a_colour_kit_is_less_than_its_first_step_and_no_less(house: House) -> None:
    """A card's palest field is no proof of nothing; common practice, no source."""
    told = proving(house)
    told.methods["NITRITE"] = kit(house, "NITRITE", name="Plain card")

    verdict = told.verdict(at=NOON, nitrite="0")

    assert not verdict.passed
    cleared = next(one for one in verdict.findings if one["code"] == "nitrite-cleared")
    assert cleared["state"] == "unknown"
    assert "use a finer method" in cleared["sentence"]


def test_the_gate_takes_no_zero_of_a_plain_colour_kit(house: House) -> None:
    told = ready(house)
    told.methods["TAN"] = kit(house, "TAN", name="Plain card")
    told.read("TAN", "0", at=AT)

    states = {one.code: one.state for one in gate_of(told.vessel, at=AT).requirements}

    assert states["tan"] == "unknown"
