"""A correction takes the place of a value and never its trace."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest

from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound, Refusal
from tanks.commands.readings import (
    CorrectedBefore,
    CorrectReading,
    ImpossibleValue,
    OffMethodRange,
    ReasonMissing,
    UnknownMethod,
    correct_reading,
)
from tanks.commands.withdrawals import CannotBeWithdrawn, WithdrawEntry, withdraw_entry
from tanks.models import Reading
from tanks.queries.entries import line_of
from tanks.queries.readings import latest_in
from tanks.queries.waters import water_of
from tests.cast import NOON, House
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, logged, nitrite_kit

LATER = NOON + timedelta(hours=5)


def correction(reading: Reading, text: str, **changes: Any) -> CorrectReading:
    told: dict[str, Any] = {
        "id": uuid4(),
        "reading_id": reading.pk,
        "text": text,
        "unit": reading.unit,
        "basis": reading.basis,
        "method_id": reading.method_id,
        "reason": "misread the second digit",
    }
    return CorrectReading(**(told | changes))


def withdrawal(fact_id: object, **changes: Any) -> WithdrawEntry:
    told: dict[str, Any] = {
        "id": uuid4(),
        "model": "tanks.reading",
        "fact_id": fact_id,
        "reason": "wrong tank",
    }
    return WithdrawEntry(**(told | changes))


def test_it_stands_in_the_first_one_s_place(house: House) -> None:
    vessel = vessel_of(house)
    first = logged(house, vessel, kit(house, "PH"), "2.8")

    row = correct_reading(correction(first, "8,2"), by=house.mo, at=LATER)

    assert list(Reading.objects.current()) == [row]
    assert (row.happened_at, row.sample, row.vessel) == (first.happened_at, first.sample, vessel)
    assert (row.recorded_at, row.by, row.corrects) == (LATER, house.mo, first)
    assert (row.as_entered, row.interval.low) == ("8,2", 8.2)
    assert Reading.objects.get(pk=first.pk).as_entered == "2.8"
    entry = Entry.objects.get(kind="tanks.correct-reading")
    assert (entry.facts["first"], entry.facts["rows"][0]["reason"]) == ("2.8", row.reason)


def test_what_followed_is_judged_again(house: House) -> None:
    vessel, method = vessel_of(house), kit(house, "TAN")
    first = logged(house, vessel, method, "0.5")
    water = water_of(vessel, at=LATER)
    assert latest_in(water)["TAN"].interval.low == 0.5

    correct_reading(correction(first, "0.05"), by=house.ana, at=LATER)

    assert latest_in(water)["TAN"].interval.low == 0.05


def test_a_basis_can_be_corrected_alone(house: House) -> None:
    """1 mg/L as NO2 is 0.304 as N: atomic weights of CIAAW."""
    first = logged(house, vessel_of(house), kit(house, "NITRITE"), "1")

    row = correct_reading(correction(first, "1", basis="NO2"), by=house.ana, at=LATER)

    assert row.interval.low == pytest.approx(0.304467, rel=1e-4)


def test_a_correction_can_be_corrected_and_every_value_stays(house: House) -> None:
    first = logged(house, vessel_of(house), kit(house, "TAN"), "0.5")
    second = correct_reading(correction(first, "0.05"), by=house.ana, at=LATER)
    third = correct_reading(correction(second, "0.15", reason="read again"), by=house.mo, at=LATER)

    line = line_of(third)

    assert line.text == "0.15 mg/L as N"
    assert [(one.text, one.by.reason) for one in line.before] == [
        ("0.05 mg/L as N", "read again"),
        ("0.5 mg/L as N", "misread the second digit"),
    ]
    with pytest.raises(CorrectedBefore):
        correct_reading(correction(first, "0.7"), by=house.ana, at=LATER)


def test_delivered_twice_it_is_one_correction(house: House) -> None:
    first = logged(house, vessel_of(house), kit(house, "TAN"), "0.5")
    command = correction(first, "0.05")

    rows = {correct_reading(command, by=house.ana, at=LATER).pk for _ in range(2)}

    assert rows == {command.id}
    assert Entry.objects.filter(kind="tanks.correct-reading").count() == 1
    with pytest.raises(IdTaken):
        correct_reading(correction(first, "9", id=command.id), by=house.ana, at=LATER)


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"reason": "  "}, ReasonMissing),
        ({"text": "-1"}, ImpossibleValue),
        ({"text": "0.1"}, OffMethodRange),
        ({"method_id": uuid4()}, UnknownMethod),
        ({"reading_id": uuid4()}, NotFound),
    ],
)
def test_the_rules_of_logging_hold(
    house: House, changes: dict[str, Any], refusal: type[Refusal]
) -> None:
    first = logged(house, vessel_of(house), nitrite_kit(house), "0.5")

    with pytest.raises(refusal):
        correct_reading(correction(first, **({"text": "1"} | changes)), by=house.ana, at=LATER)

    assert Reading.objects.count() == 1


def test_strangers_find_nothing_and_auditors_only_look(house: House) -> None:
    first = logged(house, vessel_of(house), kit(house, "TAN"), "0.5")

    gives: list[Callable[..., object]] = [correct_reading, withdraw_entry]
    for give, command in zip(gives, (correction(first, "1"), withdrawal(first.pk)), strict=True):
        with pytest.raises(NotFound):
            give(command, by=house.bo, at=LATER)
        with pytest.raises(NotAllowed):
            give(command, by=house.hale, at=LATER)


def test_a_withdrawn_entry_counts_no_longer_and_stays(house: House) -> None:
    vessel, method = vessel_of(house), kit(house, "TAN")
    kept = logged(house, vessel, method, "0.5", at=NOON - timedelta(hours=1))
    wrong = logged(house, vessel, method, "2")
    command = withdrawal(wrong.pk)

    rows = {withdraw_entry(command, by=house.mo, at=LATER).pk for _ in range(2)}

    assert rows == {command.id}
    assert list(Reading.objects.current()) == [kept]
    assert latest_in(water_of(vessel, at=LATER))["TAN"] == kept
    line = line_of(Reading.objects.get(pk=command.id))
    assert [(one.text, one.by.reason, one.by.by) for one in line.before] == [
        ("2 mg/L as N", "wrong tank", house.mo)
    ]
    assert Entry.objects.filter(kind="tanks.withdraw-entry").count() == 1


def test_what_cannot_be_withdrawn(house: House) -> None:
    reading = logged(house, vessel_of(house), kit(house, "TAN"), "0.5")

    wrong: list[tuple[dict[str, Any], type[Refusal]]] = [
        ({"model": "tanks.certificate"}, CannotBeWithdrawn),
        ({"model": "facility.person"}, CannotBeWithdrawn),
        ({"fact_id": uuid4()}, NotFound),
        ({"reason": ""}, ReasonMissing),
    ]
    for changes, refusal in wrong:
        command = withdrawal(**({"fact_id": reading.pk} | changes))
        with pytest.raises(refusal):
            withdraw_entry(command, by=house.ana, at=LATER)
    gone = withdraw_entry(withdrawal(reading.pk), by=house.ana, at=LATER)
    for again in (reading.pk, gone.pk):
        with pytest.raises(CorrectedBefore):
            withdraw_entry(withdrawal(again), by=house.ana, at=LATER)
