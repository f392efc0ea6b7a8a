"""Calculations by API: the catalogue as data, answers as JSON, faults by field."""

import json
from typing import Any
from uuid import uuid4

import pytest
from django.utils import timezone
from rest_framework.test import APIClient

from chemistry.calculator import CALCULATIONS
from facility.models import Person
from tests.cast import NOON, House
from tests.tanks.estate import measured, vessel_of
from tests.tanks.proving import HOUR
from tests.tanks.samples import kit, logged

AT = NOON + 50 * HOUR
AMMONIA = "/api/calculations/unionised-ammonia/"
# Emerson et al. 1975: 0.0825 of the ammonia at pH 8.2 and 25 °C in fresh water (computed).
TYPED = {"tan": "0.5 mg/L as N", "ph": "8.2", "scale": "NBS", "temperature": "77F", "salinity": "0"}
NH3_MG_L_N = 0.5 * 0.0825


@pytest.fixture(autouse=True)
def _now(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: AT)


def client_of(person: Person) -> APIClient:
    client = APIClient()
    client.force_authenticate(person)
    return client


def asked(by: Person, **query: Any) -> Any:
    return client_of(by).get(AMMONIA, query)


def test_the_catalogue_is_data(house: House) -> None:
    told = client_of(house.bo).get("/api/calculations/").json()

    assert [entry["name"] for entry in told] == [entry.name for entry in CALCULATIONS]
    ammonia = next(entry for entry in told if entry["name"] == "unionised-ammonia")
    asks = {ask["name"]: ask for ask in ammonia["asks"]}
    assert asks["tan"]["units"] == ["mg/L as N", "mg/L as NH3", "mg/L as NH4"]
    assert asks["tan"]["needs_unit"] is True
    assert (asks["scale"]["kind"], asks["scale"]["default"]) == ("choice", "")


@pytest.mark.parametrize("method", ["get", "post"])
def test_an_answer_tells_all(house: House, method: str) -> None:
    answer = getattr(client_of(house.hale), method)(AMMONIA, TYPED)

    told = answer.json()
    assert answer.status_code == 200
    assert told["values"]["nh3"] == pytest.approx(NH3_MG_L_N, rel=2e-3)
    assert told["units"]["nh3"] == "mg/L as N"
    assert told["given"]["temperature"]["value"] == pytest.approx(25)
    assert "Emerson" in told["method"]
    assert told["working"]
    assert {one["input"] for one in told["sensitivity"]} >= {"ph", "tan"}
    assert told["filled"] == {}


def test_a_number_may_come_as_a_number(house: House) -> None:
    answer = client_of(house.ana).post(AMMONIA, TYPED | {"ph": 8.2, "salinity": 0})

    assert answer.json()["values"]["nh3"] == pytest.approx(NH3_MG_L_N, rel=2e-3)


def test_all_faults_are_told_at_once_by_field(house: House) -> None:
    wrong = TYPED | {"tan": "0.5", "temperature": "100 L", "phh": "8"}

    answer = asked(house.ana, **wrong)

    faults = answer.json()
    assert answer.status_code == 400
    assert set(faults) == {"tan", "temperature", "phh"}
    assert "needs its basis" in faults["tan"][0]
    assert "a volume" in faults["temperature"][0]
    assert all(isinstance(sentence, str) for (sentence,) in faults.values())


@pytest.mark.parametrize("body", ["[]", '"tan"', "null", "7"])
def test_what_is_no_object_is_refused(house: House, body: str) -> None:
    answer = client_of(house.ana).generic("POST", AMMONIA, body, content_type="application/json")

    assert answer.status_code == 400
    assert answer.json()


@pytest.mark.parametrize("junk", [None, True, [], {}, [1], "\0", "nan", "1e999", "9" * 400, "−"])
@pytest.mark.parametrize("name", ["tan", "scale", "vessel"])
def test_junk_is_a_fault_at_its_field(house: House, name: str, junk: object) -> None:
    body = json.dumps(TYPED | {name: junk})

    answer = client_of(house.ana).generic("POST", AMMONIA, body, content_type="application/json")

    assert answer.status_code == 400
    assert list(answer.json()) == [name]


def test_a_water_answers_what_is_left_out(house: House) -> None:
    tank = vessel_of(house)
    measured(house, tank, litres="400")
    for parameter, text in (("TAN", "<0.5"), ("PH", "8.2"), ("TEMPERATURE", "20")):
        logged(house, tank, kit(house, parameter), text, at=AT - HOUR)

    told = asked(house.ana, vessel=tank.pk, temperature="25", salinity="0").json()

    assert told["values"]["nh3"] == pytest.approx(NH3_MG_L_N, rel=2e-3)
    assert set(told["filled"]) == {"tan", "ph", "scale"}
    assert told["filled"]["tan"]["typed"] == "0.5 mg/L as N"
    assert "its limit, 0.5, is used" in told["filled"]["tan"]["warnings"][0]


def test_a_water_of_strangers_is_not_found(house: House) -> None:
    tank = vessel_of(house)

    for person, vessel_id in ((house.bo, tank.pk), (house.ana, uuid4())):
        answer = asked(person, **TYPED, vessel=vessel_id)
        assert (answer.status_code, answer.json()["code"]) == (404, "not-found")


def test_an_unknown_calculation_tells_the_nearest(house: House) -> None:
    answer = client_of(house.ana).get("/api/calculations/unionized-ammonia/")

    assert answer.status_code == 404
    assert "unionised-ammonia" in answer.json()["says"]


def test_every_calculation_answers_its_examples(house: House) -> None:
    client = client_of(house.bo)
    answers = {
        entry.name: client.post(
            f"/api/calculations/{entry.name}/", {ask.name: ask.example for ask in entry.asks}
        )
        for entry in CALCULATIONS
    }

    refused = {name: one.content for name, one in answers.items() if one.status_code != 200}
    assert refused == {}
    assert not [name for name, one in answers.items() if b"NaN" in one.content]


def test_signed_out_one_is_refused(db: None) -> None:
    assert APIClient().get(AMMONIA, TYPED).status_code in {401, 403}


def test_calculating_is_described_for_openapi(house: House) -> None:
    paths = client_of(house.ana).get("/api/schema/", headers={"accept": "application/json"}).json()

    described = paths["paths"]["/api/calculations/{calculation}/"]
    names = next(one for one in described["get"]["parameters"] if one["in"] == "path")
    assert "unionised-ammonia" in names["schema"]["enum"]
    assert {"200", "400"} <= set(described["post"]["responses"])
