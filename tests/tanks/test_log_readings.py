"""Logging readings: the text as entered stays, and nothing quietly becomes nothing."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest

from facility.commands.deliveries import InTheFuture
from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound, Refusal
from tanks.commands.finding import VesselRetired
from tanks.commands.readings import (
    ImpossibleValue,
    LogReadings,
    NothingRead,
    OffMethodRange,
    SurprisingValue,
    UnknownMethod,
    UnknownUnit,
    UnreadableValue,
    log_readings,
)
from tanks.commands.vessels import RetireVessel, retire_vessel
from tanks.models import Reading
from tests.cast import NOON, House
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, logged, nitrite_kit, sample, taken


def test_it_keeps_each_value_as_it_was_entered(house: House) -> None:
    vessel = vessel_of(house)
    method = nitrite_kit(house)
    texts = ("<0.25", "0,5", "> 5", "1-2")

    rows = [
        logged(house, vessel, method, text, at=NOON + timedelta(hours=i))
        for i, text in enumerate(texts)
    ]

    kept = [Reading.objects.get(pk=row.pk) for row in rows]
    assert [row.as_entered for row in kept] == list(texts)
    assert [(row.qualifier, row.value, row.upper) for row in kept] == [
        ("BELOW", Decimal("0.25"), None),
        ("EQUAL", Decimal("0.5"), None),
        ("ABOVE", Decimal(5), None),
        ("BETWEEN", Decimal(1), Decimal(2)),
    ]
    assert {(row.by, row.method, row.basis) for row in kept} == {(house.ana, method, "N")}


def test_several_readings_make_one_sample_and_one_ledger_line(house: House) -> None:
    vessel = vessel_of(house)
    command = sample(
        vessel,
        taken(kit(house, "TAN"), "0.5"),
        taken(kit(house, "PH"), "7.8"),
        at=NOON - timedelta(hours=2),
    )

    rows = log_readings(command, by=house.ana, at=NOON)

    assert {row.sample for row in rows} == {command.id}
    entry = Entry.objects.get(kind="tanks.log-readings")
    assert (entry.by, entry.about) == (house.ana, f"tanks.vessel:{vessel.pk}")
    assert (entry.happened_at, entry.recorded_at) == (NOON - timedelta(hours=2), NOON)
    assert [row["as_entered"] for row in entry.facts["rows"]] == ["0.5", "7.8"]


def test_delivered_twice_it_is_recorded_once(house: House) -> None:
    vessel = vessel_of(house)
    command = sample(vessel, taken(kit(house, "TAN"), "0.5"), taken(kit(house, "PH"), "7.8"))

    first = log_readings(command, by=house.ana, at=NOON)
    again = log_readings(command, by=house.ana, at=NOON + timedelta(minutes=1))

    assert {row.pk for row in again} == {row.pk for row in first}
    assert Reading.objects.count() == 2
    assert Entry.objects.filter(kind="tanks.log-readings").count() == 1


def test_a_sample_s_id_never_says_something_else(house: House) -> None:
    vessel, method = vessel_of(house), kit(house, "TAN")
    command = sample(vessel, taken(method, "0.5"))
    log_readings(command, by=house.ana, at=NOON)

    for other in (
        LogReadings(
            id=command.id,
            vessel_id=vessel.pk,
            happened_at=NOON,
            readings=(taken(method, "0.6", id=command.readings[0].id),),
        ),
        sample(vessel, command.readings[0]),
    ):
        with pytest.raises(IdTaken):
            log_readings(other, by=house.ana, at=NOON)


@pytest.mark.parametrize(
    ("parameter", "text", "changes", "refusal", "words"),
    [
        ("TAN", "much", {}, UnreadableValue, "not a value"),
        ("TAN", "1,000", {}, UnreadableValue, "two ways"),
        ("TAN", "0.5", {"basis": ""}, UnknownUnit, "mg/L as N, mg/L as NH3"),
        ("TAN", "-1", {}, ImpossibleValue, "0 to 1000 mg/L as N"),
        ("PH", "78", {}, ImpossibleValue, "0 to 14"),
        ("PH", "7-15", {}, ImpossibleValue, "0 to 14"),
        ("TEMPERATURE", "260", {}, ImpossibleValue, "-2 to 45 °C"),
        ("TEMPERATURE", "20", {"unit": "degF"}, ImpossibleValue, "28.4 to 113 °F"),
        ("SALINITY", "1.2", {"unit": "SG 25/25"}, ImpossibleValue, "1 to 1.0316 SG 25/25"),
        ("TAN", "<0", {}, ImpossibleValue, "below 0"),
    ],
)
def test_what_cannot_be_is_refused_with_its_range(
    house: House,
    parameter: str,
    text: str,
    changes: dict[str, str],
    refusal: type[Refusal],
    words: str,
) -> None:
    reading = taken(kit(house, parameter), text, **changes)

    with pytest.raises(refusal) as caught:
        log_readings(sample(vessel_of(house), reading), by=house.ana, at=NOON)

    assert words in caught.value.sentence
    assert caught.value.reading_id == reading.id  # type: ignore[attr-defined]  # each row of the table
    assert not Reading.objects.exists()


@pytest.mark.parametrize(
    ("text", "asked_for"),
    [
        ("0", "<0.25"),
        ("0.1", "<0.25"),
        ("<0.1", "<0.25"),
        ("0-0.25", "<0.25"),
        ("6", ">5"),
        (">8", ">5"),
        ("2-10", ">5"),
    ],
)
def test_off_the_kit_s_range_it_asks_for_a_limit(house: House, text: str, asked_for: str) -> None:
    reading = taken(nitrite_kit(house), text)

    with pytest.raises(OffMethodRange, match=f"write {asked_for}\\."):
        log_readings(sample(vessel_of(house), reading), by=house.ana, at=NOON)


@pytest.mark.parametrize(("text", "basis"), [("0.82", "NO2"), ("<0.8211", "NO2")])
def test_the_range_holds_on_every_basis(house: House, text: str, basis: str) -> None:
    """0.25 mg/L as N is 0.8211 mg/L as NO2: atomic weights of CIAAW."""
    reading = taken(nitrite_kit(house), text, basis=basis)

    with pytest.raises(OffMethodRange, match=r"below 0\.25 mg/L as N"):
        log_readings(sample(vessel_of(house), reading), by=house.ana, at=NOON)


def test_a_surprise_is_asked_about_once_and_the_answer_is_kept(house: House) -> None:
    vessel, method = vessel_of(house), kit(house, "PH")
    logged(house, vessel, method, "7.8", at=NOON - timedelta(hours=3))
    reading = taken(method, "9.1")
    command = sample(vessel, reading)

    with pytest.raises(SurprisingValue) as asked:
        log_readings(command, by=house.ana, at=NOON)
    assert asked.value.sentences == {
        reading.id: "pH 9.1: That is far from the 7.8 read 3 h before."
    }
    sure = LogReadings(
        id=command.id,
        vessel_id=vessel.pk,
        happened_at=NOON,
        readings=command.readings,
        confirmed=frozenset(asked.value.sentences),
    )
    (row,) = log_readings(sure, by=house.ana, at=NOON)

    assert row.surprise_confirmed
    assert not Reading.objects.get(as_entered="7.8").surprise_confirmed


def test_one_surprise_keeps_the_whole_sample_waiting(house: House) -> None:
    vessel = vessel_of(house)
    command = sample(vessel, taken(kit(house, "PH"), "3.9"), taken(kit(house, "TAN"), "0.5"))

    with pytest.raises(SurprisingValue):
        log_readings(command, by=house.ana, at=NOON)

    assert not Reading.objects.exists()


def test_nobody_logs_ahead_of_time_or_after_the_tank_retired(house: House) -> None:
    vessel, method = vessel_of(house, at=NOON - timedelta(days=9)), kit(house, "TAN")
    retired_at = NOON - timedelta(days=1)
    retire_vessel(RetireVessel(vessel_id=vessel.pk, happened_at=retired_at), by=house.mo, at=NOON)

    with pytest.raises(InTheFuture):
        log_readings(
            sample(vessel, taken(method, "1"), at=NOON + timedelta(minutes=6)),
            by=house.ana,
            at=NOON,
        )
    with pytest.raises(VesselRetired):
        log_readings(sample(vessel, taken(method, "1")), by=house.ana, at=NOON)
    logged(house, vessel, method, "1", at=retired_at - timedelta(hours=1))


def test_a_method_must_be_the_site_s_own_for_that_parameter(house: House) -> None:
    vessel = vessel_of(house)

    for wrong in (
        taken(kit(house, "TAN"), "1", method_id=uuid4()),
        taken(kit(house, "NITRATE"), "1", parameter="NITRITE"),
    ):
        with pytest.raises(UnknownMethod):
            log_readings(sample(vessel, wrong), by=house.ana, at=NOON)
    with pytest.raises(NothingRead):
        log_readings(sample(vessel), by=house.ana, at=NOON)


def test_strangers_find_no_tank_and_auditors_may_only_look(house: House) -> None:
    command = sample(vessel_of(house), taken(kit(house, "TAN"), "1"))

    with pytest.raises(NotFound):
        log_readings(command, by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        log_readings(command, by=house.hale, at=NOON)


def test_two_readings_of_one_sample_never_bear_one_id(house: House) -> None:
    reading = taken(kit(house, "TAN"), "0.5")

    with pytest.raises(IdTaken):
        log_readings(sample(vessel_of(house), reading, reading), by=house.ana, at=NOON)
    assert not Reading.objects.exists()
