"""The deeds by API: the same commands as the pages, with an answer for everything sent."""

import json
from datetime import UTC, datetime
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.utils import timezone
from rest_framework.test import APIClient

from facility.api.fields import serializer_of
from facility.models import Entry, Person
from facility.sockets.deeds import deeds
from tanks.commands.readings import LogReadings
from tanks.models import Method, Reading, Vessel
from tests.cast import NOON, PASSWORD, House
from tests.tanks.estate import vessel_of
from tests.tanks.samples import nitrite_kit

ADDRESS = "/api/deeds/tanks.log-readings/"


@pytest.fixture(autouse=True)
def _noon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOON)


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house)


@pytest.fixture
def method(house: House) -> Method:
    return nitrite_kit(house)


def body(tank: Vessel, method: Method, **changes: Any) -> dict[str, Any]:
    reading = {
        "id": str(uuid4()),
        "parameter": "NITRITE",
        "method_id": str(method.pk),
        "text": "<0.25",
        "unit": "mg/L",
        "basis": "N",
    }
    told = {
        "id": str(uuid4()),
        "vessel_id": str(tank.pk),
        "happened_at": "2026-03-29T12:30:00+01:00",
        "readings": [reading],
    }
    return told | changes


def post(sent: Any, *, by: Person | None, address: str = ADDRESS) -> Any:
    client = APIClient()
    if by:
        client.force_authenticate(by)
    text = sent if isinstance(sent, str) else json.dumps(sent)
    return client.post(address, text, content_type="application/json")


def test_it_keeps_the_same_rows_and_the_same_line_as_the_command(
    house: House, tank: Vessel, method: Method
) -> None:
    sent = body(tank, method)

    answer = post(sent, by=house.ana)

    row = Reading.objects.get()
    line = Entry.objects.latest("pk")
    assert (answer.status_code, answer.json()) == (201, {"id": sent["id"]})
    assert (str(row.sample), row.as_entered, row.by) == (sent["id"], "<0.25", house.ana)
    assert (row.happened_at, row.recorded_at) == (
        datetime(2026, 3, 29, 11, 30, tzinfo=UTC),
        NOON,
    )
    assert (line.kind, line.about, line.by) == (
        "tanks.log-readings",
        f"tanks.vessel:{tank.pk}",
        house.ana,
    )
    assert [told["id"] for told in line.facts["rows"]] == [str(row.pk)]


def test_delivered_twice_it_is_one_row_with_one_answer(
    house: House, tank: Vessel, method: Method
) -> None:
    sent = body(tank, method)

    answers = [post(sent, by=house.ana) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [201, 201]
    assert answers[0].json() == answers[1].json()
    assert Reading.objects.count() == 1


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"pirce": 3}, "pirce", "There is no such field; remove it."),
        ({"vessel_id": "B-7"}, "vessel_id", "Must be a valid UUID."),
        ({"vessel_id": None}, "vessel_id", "This field may not be null."),
        ({"happened_at": "2026-03-29T12:30:00"}, "happened_at", "offset from UTC"),
        ({"happened_at": "yesterday"}, "happened_at", "wrong format"),
        ({"happened_at": "0001-01-01T00:00:00Z"}, "happened_at", "Give a year from 1900"),
        ({"happened_at": "9999-12-31T23:59:59Z"}, "happened_at", "Give a year from 1900"),
        ({"readings": "0.5"}, "readings", "Expected a list"),
        ({"confirmed": ["me"]}, "confirmed", "Must be a valid UUID."),
    ],
)
def test_what_cannot_be_read_is_told_at_its_field(
    house: House, tank: Vessel, method: Method, changes: dict[str, Any], field: str, says: str
) -> None:
    answer = post(body(tank, method, **changes), by=house.ana)

    assert answer.status_code == 400
    assert list(answer.json()) == [field]
    assert says in json.dumps(answer.json()[field])
    assert not Reading.objects.exists()


def test_what_is_missing_and_what_is_unknown_are_told_together(
    house: House, tank: Vessel, method: Method
) -> None:
    sent = body(tank, method, extra=1)
    del sent["happened_at"]
    sent["readings"][0]["vlaue"] = "0.5"

    told = post(sent, by=house.ana).json()

    assert sorted(told) == ["extra", "happened_at", "readings"]
    assert told["happened_at"] == ["This field is required."]
    assert told["readings"] == {"0": {"vlaue": ["There is no such field; remove it."]}}


@pytest.mark.parametrize("sent", ["", "null", "[]", '"x"', "{", "7", '{"id": NaN}'])
def test_a_body_that_is_no_command_is_refused(house: House, sent: str) -> None:
    assert post(sent, by=house.ana).status_code == 400


def test_a_rule_that_says_no_gives_code_field_and_sentence(
    house: House, tank: Vessel, method: Method
) -> None:
    sent = body(tank, method)
    sent["readings"][0]["text"] = "O.5"

    answer = post(sent, by=house.ana)

    assert answer.status_code == 409
    assert sorted(answer.json()) == ["code", "field", "says"]
    assert (answer.json()["code"], answer.json()["field"]) == ("unreadable-value", "readings")


def test_strangers_find_nothing_auditors_may_not_and_nobody_is_told_to_sign_in(
    house: House, tank: Vessel, method: Method
) -> None:
    sent = body(tank, method)

    assert post(sent, by=house.bo).status_code == 404
    assert post(sent, by=house.hale).status_code == 403
    assert post(sent, by=None).status_code in {401, 403}
    assert not Reading.objects.exists()


def test_a_session_without_its_token_is_refused(house: House, tank: Vessel, method: Method) -> None:
    """Another site's page could otherwise have the browser log what it likes."""
    client = APIClient(enforce_csrf_checks=True)
    client.login(username="ana", password=PASSWORD)

    answer = client.post(ADDRESS, body(tank, method), format="json")

    assert answer.status_code == 403
    assert "CSRF" in answer.json()["detail"]


def test_too_long_for_its_column_is_told_at_its_field(house: House) -> None:
    sent = {
        "id": str(uuid4()),
        "site_id": str(house.site.pk),
        "name": "n" * 121,
        "hygiene_rank": 10**30,
    }

    told = post(sent, by=house.mo, address="/api/deeds/facility.open-area/").json()

    assert sorted(told) == ["hygiene_rank", "name"]
    assert "120 characters" in told["name"][0]


def test_a_serializer_makes_the_command_with_its_own_types(tank: Vessel, method: Method) -> None:
    sheet = serializer_of(LogReadings)(data=body(tank, method, confirmed=[str(method.pk)]))

    assert sheet.is_valid(), sheet.errors
    command = sheet.asked()
    assert isinstance(command, LogReadings)
    assert isinstance(command.readings, tuple)
    assert command.confirmed == frozenset([method.pk])
    assert isinstance(command.readings[0].id, UUID)


def test_every_deed_that_a_role_may_give_is_described(client: Any) -> None:
    described = client.get("/api/schema/", headers={"accept": "application/json"}).json()["paths"]

    offered = {f"/api/deeds/{deed.name}/" for deed in deeds if deed.roles}
    assert len(offered) > 30
    assert offered <= set(described)
    assert f"/api/deeds/{deeds['tanks.keep-forecast'].name}/" not in described
    says = {described[address]["post"]["summary"] for address in offered}
    assert "Logged readings" in says
