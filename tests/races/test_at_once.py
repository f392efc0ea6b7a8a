"""Phones resend, and two people work at once: nothing is written twice, nothing is lost."""

from dataclasses import replace
from datetime import timedelta
from functools import partial

import pytest

from facility.models import Entry, Person
from facility.queries.proof import first_breach, unrecorded
from facility.refusals import Refusal
from tanks.commands.readings import LogReadings, correct_reading, log_readings
from tanks.models import Reading
from tests.cast import NOON, House
from tests.races.at_once import at_once
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, logged, sample, taken
from tests.tanks.test_correct_reading import correction

pytestmark = pytest.mark.django_db(transaction=True)

LATER = NOON + timedelta(hours=1)


def test_one_delivery_that_arrives_eight_times_is_recorded_once(house: House) -> None:
    command = sample(vessel_of(house), taken(kit(house, "TAN"), "0.5"))
    deliver = partial(log_readings, command, by=house.ana, at=NOON)

    answers = at_once([deliver] * 8)

    assert {row.pk for rows in answers for row in rows} == {command.readings[0].id}
    assert Reading.objects.count() == 1
    assert Entry.objects.filter(kind="tanks.log-readings").count() == 1
    assert first_breach(house.site) is None


def test_two_people_s_readings_are_both_kept_and_the_chain_holds(house: House) -> None:
    tanks = [vessel_of(house, code=code) for code in ("A-01", "A-02")]
    methods = [kit(house, parameter) for parameter in ("TAN", "NITRITE", "NITRATE")]
    commands = [sample(tank, taken(method, "1")) for tank in tanks for method in methods]
    people = [house.ana, house.mo] * 3

    at_once(
        [
            partial(log_readings, command, by=person, at=NOON)
            for command, person in zip(commands, people, strict=True)
        ]
    )

    assert Reading.objects.count() == 6
    lines = Entry.objects.filter(site=house.site).order_by("number")
    assert [line.number for line in lines] == list(range(1, len(lines) + 1))
    assert lines.filter(kind="tanks.log-readings").count() == 6
    assert first_breach(house.site) is None
    assert list(unrecorded()) == []


def test_one_id_with_two_contents_keeps_the_first_and_refuses_the_other(house: House) -> None:
    command = sample(vessel_of(house), taken(kit(house, "TAN"), "0.5"))
    told_otherwise = replace(command.readings[0], text="5")
    other = replace(command, readings=(told_otherwise,))

    answers = at_once([partial(answer_to, one, house.ana) for one in (command, other) * 4])

    assert sorted(answers) == ["id-taken"] * 4 + ["kept"] * 4
    assert Reading.objects.count() == 1
    assert first_breach(house.site) is None


def test_of_two_corrections_at_once_one_stands_and_the_other_is_told(house: House) -> None:
    reading = logged(house, vessel_of(house), kit(house, "TAN"), "5")

    def correct(text: str, by: Person) -> str:
        try:
            correct_reading(correction(reading, text), by=by, at=LATER)
        except Refusal as refusal:
            return refusal.code
        return "kept"

    answers = at_once([partial(correct, "0.5", house.ana), partial(correct, "0.6", house.mo)])

    assert sorted(answers) == ["corrected-before", "kept"]
    assert Reading.objects.filter(corrects=reading).count() == 1
    assert first_breach(house.site) is None


def answer_to(command: LogReadings, by: Person) -> str:
    try:
        log_readings(command, by=by, at=NOON)
    except Refusal as refusal:
        return refusal.code
    return "kept"
