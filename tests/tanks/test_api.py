"""Waters, readings and start-ups by API: what was entered, marked for what it is worth now."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from rest_framework.test import APIClient

from facility.models import Person
from tanks.commands.readings import CorrectReading, correct_reading
from tanks.commands.withdrawals import WithdrawEntry, withdraw_entry
from tanks.models import Forecast, Method, Reading
from tests.cast import NOON, House
from tests.tanks.estate import closed, measured, opened, system_of, vessel_of
from tests.tanks.proving import HOUR, proving
from tests.tanks.samples import kit, logged

AT = NOON + 50 * HOUR


@pytest.fixture(autouse=True)
def _now(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: AT)


def asked(address: str, *, by: Person, **query: Any) -> Any:
    client = APIClient()
    client.force_authenticate(by)
    return client.get(address, query)


def readings(by: Person, **query: Any) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = asked("/api/readings/", by=by, **query).json()["results"]
    return found


def corrected(house: House, first: Reading, method: Method, text: str) -> Reading:
    command = CorrectReading(
        id=uuid4(),
        reading_id=first.pk,
        text=text,
        unit=method.unit,
        basis=method.basis,
        method_id=method.pk,
        reason="Misread.",
    )
    return correct_reading(command, by=house.ana, at=AT)


def test_a_reading_is_told_as_entered_and_in_canonical_units(house: House) -> None:
    """0.82 mg/L as NH3 is 0.82 × 14.007 / 17.031 = 0.6744 mg/L as N (IUPAC atomic weights)."""
    method = kit(house, "TAN", unit="mg/L", basis="NH3")
    logged(house, vessel_of(house), method, "0.82", at=AT - HOUR)

    (told,) = readings(house.hale)

    assert (told["as_entered"], told["value"], told["unit"], told["basis"]) == (
        "0.82",
        "0.8200",
        "mg/L",
        "NH3",
    )
    assert told["canonical"]["unit"] == "mg/L as N"
    assert told["canonical"]["low"] == told["canonical"]["high"] == pytest.approx(0.6744, abs=1e-4)
    assert (told["happened_at"], told["by"]) == ("2026-03-31T13:00:00Z", "Ana Quill")
    assert (told["vessel"]["code"], told["is_current"]) == ("A-01", True)


@pytest.mark.parametrize(
    ("text", "low", "high"), [("<0.25", 0.0, 0.25), (">5", 5.0, None), ("1-2", 1.0, 2.0)]
)
def test_below_detection_is_no_zero_and_over_range_no_number(
    house: House, text: str, low: float, high: float | None
) -> None:
    logged(house, vessel_of(house), kit(house), text, at=AT)

    (told,) = readings(house.ana)

    assert (told["canonical"]["low"], told["canonical"]["high"]) == (low, high)


def test_corrected_and_withdrawn_readings_stay_and_are_marked(house: House) -> None:
    tank, method = vessel_of(house), kit(house)
    first = logged(house, tank, method, "5", at=NOON)
    newer = corrected(house, first, method, "0.5")
    other = logged(house, tank, method, "0.4", at=NOON + HOUR)
    command = WithdrawEntry(id=uuid4(), model="tanks.reading", fact_id=other.pk, reason="Not here.")
    withdraw_entry(command, by=house.ana, at=AT)

    told = {row["id"]: row for row in readings(house.ana)}

    assert len(told) == 4
    assert told[str(first.pk)]["corrected_by"] == str(newer.pk)
    assert (told[str(newer.pk)]["corrects"], told[str(newer.pk)]["reason"]) == (
        str(first.pk),
        "Misread.",
    )
    assert [row["id"] for row in told.values() if row["is_current"]] == [str(newer.pk)]


def test_readings_are_narrowed_and_paged(house: House) -> None:
    tank, other = vessel_of(house), vessel_of(house, code="A-02")
    method = kit(house)
    for i in range(5):
        logged(house, tank, method, "0.5", at=NOON + i * HOUR)
    logged(house, other, kit(house, "PH"), "7.8", at=NOON)

    assert len(readings(house.ana, vessel=tank.pk)) == 5
    assert len(readings(house.ana, parameter="PH")) == 1
    since, until = (NOON + i * HOUR for i in (1, 3))
    found = readings(house.ana, since=since.isoformat(), until=until.isoformat())
    assert [row["happened_at"] for row in found] == ["2026-03-29T14:00:00Z", "2026-03-29T13:00:00Z"]
    page = asked("/api/readings/", by=house.ana, page_size=4).json()
    client = APIClient()
    client.force_authenticate(house.ana)
    rest = client.get(page["next"]).json()["results"]
    assert len({row["id"] for row in (*page["results"], *rest)}) == 6


def test_asking_for_more_readings_asks_the_database_no_more_often(house: House) -> None:
    tank, method = vessel_of(house), kit(house)
    logged(house, tank, method, "0.5")
    with CaptureQueriesContext(connection) as few:
        readings(house.ana)
    for i in range(1, 9):
        logged(house, tank, method, "0.5", at=NOON + i * HOUR)

    with CaptureQueriesContext(connection) as many:
        assert len(readings(house.ana)) == 9

    assert len(many) == len(few)


@pytest.mark.parametrize("query", [{"parameter": "GH"}, {"vessel": "A-01"}, {"sicne": "x"}])
def test_what_cannot_be_asked_is_told_at_its_name(house: House, query: dict[str, str]) -> None:
    answer = asked("/api/readings/", by=house.ana, **query)

    assert answer.status_code == 400
    assert list(answer.json()) == list(query)


def test_a_water_is_told_as_it_was_at_the_moment_asked_for(house: House) -> None:
    tank, system = vessel_of(house), system_of(house)
    measured(house, tank, litres="120")
    measured(house, system, litres="480")
    valve = opened(house, tank, system)
    logged(house, system, kit(house), "0.5", at=NOON + HOUR)
    closed(house, valve, at=NOON + 24 * HOUR)

    then = asked(f"/api/waters/{tank.pk}/", by=house.hale, at=(NOON + 2 * HOUR).isoformat()).json()
    now = asked(f"/api/waters/{tank.pk}/", by=house.hale).json()

    assert [one["code"] for one in then["members"]] == ["S-1", "A-01"]
    assert (then["litres"], then["anchor"]["code"]) == (600.0, "S-1")
    assert [one["as_entered"] for one in then["latest"]] == ["0.5"]
    assert ([one["code"] for one in now["members"]], now["litres"]) == (["A-01"], 120.0)
    assert now["at"] == "2026-03-31T14:00:00Z"


def test_all_waters_are_told_in_a_fixed_number_of_queries(house: House) -> None:
    method = kit(house)
    logged(house, vessel_of(house), method, "0.5")
    with CaptureQueriesContext(connection) as few:
        asked("/api/waters/", by=house.ana)
    for i in range(2, 8):
        logged(house, vessel_of(house, code=f"A-0{i}"), method, "0.5")

    with CaptureQueriesContext(connection) as many:
        told = asked("/api/waters/", by=house.ana).json()

    assert len(told) == 7
    assert told[0]["litres"] is None
    assert [one["code"] for one in told[0]["unmeasured"]] == ["A-01"]
    assert len(many) == len(few)


def test_a_start_up_tells_its_stage_certificate_and_forecast(house: House) -> None:
    told = proving(house)
    before = asked(f"/api/cycles/{told.cycle.pk}/", by=house.hale).json()
    certificate = told.certified(at=NOON + HOUR)
    forecast = _forecast(told.cycle)

    after = asked(f"/api/cycles/{told.cycle.pk}/", by=house.hale).json()

    assert (before["stage"]["code"], before["certificate"], before["forecast"]) == (
        "preparing",
        None,
        None,
    )
    assert after["stage"]["code"] == "proven"
    assert after["certificate"]["id"] == str(certificate.pk)
    assert after["certificate"]["feed_g_per_day"] == str(certificate.feed_g_per_day)
    assert (after["certificate"]["is_in_force"], after["certificate"]["signed_by"]) == (
        True,
        "Vera Lund",
    )
    assert after["forecast"]["id"] == str(forecast.pk)
    assert after["cycle"]["vessel"]["code"] == "A-01"
    assert after["lapses_at"] > after["certificate"]["signed_at"]


def test_a_stranger_finds_nothing(house: House) -> None:
    told = proving(house)
    told.read("PH", "7.8", at=NOON)

    assert asked("/api/waters/", by=house.bo).json() == []
    assert readings(house.bo) == []
    for address in (f"/api/waters/{told.vessel.pk}/", f"/api/cycles/{told.cycle.pk}/"):
        answer = asked(address, by=house.bo)
        assert (answer.status_code, answer.json()["code"]) == (404, "not-found")
    answer = asked("/api/readings/", by=house.bo, vessel=told.vessel.pk)
    assert answer.status_code == 404


def _forecast(cycle: Any) -> Forecast:
    common = {"digest": "0" * 64, "case": {}, "as_planned": {"sureness": "x"}, "unbuffered": {}}
    return Forecast.objects.create(cycle=cycle, made_at=AT - timedelta(hours=1), **common)
