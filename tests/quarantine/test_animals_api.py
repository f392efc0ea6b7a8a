"""Animals, read by programs: Darwin Core's terms, books that close, moments that were."""

from datetime import timedelta

import pytest
from django.utils import timezone
from rest_framework.test import APIClient

from quarantine.commands.sales import sell_animals
from quarantine.commands.species import set_species_sheet
from tests.cast import NOON, House
from tests.quarantine.arriving import NEON, lot_in, sale_of, sheet_of, species_of
from tests.tanks.estate import vessel_of

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


@pytest.fixture
def api(house: House, monkeypatch: pytest.MonkeyPatch) -> APIClient:
    monkeypatch.setattr(timezone, "now", lambda: NOON + HOUR)
    client = APIClient()
    client.force_authenticate(house.hale)
    return client


def test_a_lot_tells_its_book_and_every_line(house: House, api: APIClient) -> None:
    tank = vessel_of(house)
    lot = lot_in(house, tank)
    sell_animals(sale_of(lot, tank, count=9), by=house.ana, at=NOON)

    told = api.get(f"/api/lots/{lot.pk}/").json()

    assert told["lot"]["species"]["scientificName"] == NEON
    assert (told["book"]["remaining"], told["book"]["closes"]) == (39, True)
    assert [(one["vessel"]["code"], one["individualCount"]) for one in told["held"]] == [
        ("A-01", 39)
    ]
    assert {one["kind"] for one in told["changes"]} == {"ARRIVED", "DEAD_ON_ARRIVAL", "SOLD"}
    assert all(one["is_current"] for one in told["changes"])
    assert [one["code"] for one in api.get("/api/lots/").json()["results"]] == [lot.code]


def test_the_inventory_as_of_then_and_as_known_then(house: House, api: APIClient) -> None:
    tank = vessel_of(house)
    lot = lot_in(house, tank)
    sell_animals(sale_of(lot, tank, count=9), by=house.ana, at=NOON + HOUR / 2)

    def counts(**asked: str) -> list[int]:
        return [one["individualCount"] for one in api.get("/api/inventory/", asked).json()]

    assert counts() == [39]
    known = {"at": "2026-03-29T12:10:00Z", "known_at": "2026-03-29T12:20:00Z"}
    assert counts(**known) == [48]
    assert counts(at="2026-03-29T11:00:00Z") == []
    assert api.get("/api/inventory/", {"when": "now"}).status_code == 400


def test_species_and_consignments(house: House, api: APIClient) -> None:
    set_species_sheet(sheet_of(species_of(house), shortest_stay_days=21), by=house.mo, at=NOON)
    lot = lot_in(house, vessel_of(house))

    (species,) = api.get("/api/species/").json()
    (summed,) = api.get("/api/consignments/").json()
    arrival = api.get(f"/api/consignments/{lot.consignment_id}/").json()

    assert species["taxon"]["vernacularName"] == "Neon tetra"
    assert (species["sheet"]["shortest_stay_days"], species["sheet"]["is_verified"]) == (21, False)
    assert summed["tally"]["alive"] == 48
    assert arrival["boxes"][0]["dead_on_arrival"] == 2


def test_a_stranger_is_told_nothing(house: House, api: APIClient) -> None:
    lot = lot_in(house, vessel_of(house))
    api.force_authenticate(house.bo)

    assert api.get(f"/api/lots/{lot.pk}/").status_code == 404
    assert api.get(f"/api/consignments/{lot.consignment_id}/").status_code == 404
    assert api.get("/api/inventory/").json() == []
