"""The ledger by API: a program may prove the chain for itself. SHA-256: FIPS 180-4."""

import hashlib
import json
from typing import Any

import pytest
from rest_framework.test import APIClient

from facility.models import Entry, Person
from facility.rules.canonical import FIRST_PREVIOUS
from tests.cast import House
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, logged


def asked(person: Person, **query: Any) -> Any:
    client = APIClient()
    client.force_authenticate(person)
    return client.get("/api/ledger/", query)


def test_lines_come_latest_first_in_pages_that_lead_on(house: House) -> None:
    count = Entry.objects.filter(site=house.site).count()
    assert count > 4

    first = asked(house.hale, page_size=3).json()
    client = APIClient()
    client.force_authenticate(house.hale)
    second = client.get(first["next"]).json()

    numbers = [line["number"] for line in (*first["results"], *second["results"])]
    assert numbers[:5] == list(range(count, count - 5, -1))
    assert first["previous"] is None


def test_the_chain_can_be_proven_from_what_is_told(house: House) -> None:
    """The digest again from the answer alone: sorted keys, no spaces, microseconds, +00:00."""
    logged(house, vessel_of(house), kit(house), "0.5")
    lines = asked(house.hale).json()["results"][::-1]

    previous = FIRST_PREVIOUS
    for line in lines:
        told = {name: line[name] for name in line if name not in {"digest", "by_name"}}
        for moment in ("happened_at", "recorded_at"):
            told[moment] = told[moment].replace("Z", ".000000+00:00")
        text = json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        assert line["previous"] == previous
        assert line["digest"] == hashlib.sha256(text.encode()).hexdigest()
        previous = line["digest"]
    assert len(lines) == Entry.objects.filter(site=house.site).count()


def test_it_is_narrowed_by_kind_subject_and_person(house: House) -> None:
    tank = vessel_of(house)
    logged(house, tank, kit(house), "0.5")

    for query in (
        {"kind": "tanks.log-readings"},
        {"about": f"tanks.vessel:{tank.pk}", "by": house.ana.pk},
    ):
        (line,) = asked(house.mo, **query).json()["results"]
        assert (line["kind"], line["by_name"]) == ("tanks.log-readings", "Ana Quill")


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ({"knid": "x"}, "knid"),
        ({"by": "ana"}, "by"),
        ({"since": "2026-03-29"}, "since"),
        ({"until": "2026-03-29T12:00:00"}, "until"),
        ({"page_size": "0"}, "page_size"),
    ],
)
def test_what_cannot_be_asked_is_told_at_its_name(
    house: House, query: dict[str, str], field: str
) -> None:
    answer = asked(house.mo, **query)

    assert answer.status_code == 400
    assert list(answer.json()) == [field]


def test_a_plus_sign_that_became_a_space_is_understood(house: House) -> None:
    client = APIClient()
    client.force_authenticate(house.mo)

    answer = client.get("/api/ledger/?since=2026-03-29T13:00:00+01:00")

    assert answer.status_code == 200
    assert len(answer.json()["results"]) == Entry.objects.filter(site=house.site).count()


def test_a_stranger_finds_no_line(house: House) -> None:
    assert asked(house.bo).json()["results"] == []
