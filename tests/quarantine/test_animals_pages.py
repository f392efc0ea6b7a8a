"""Pages of animals: what each shows, what its sheet records, and what it loses never."""

import csv
import io
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from quarantine.commands.sales import sell_animals
from quarantine.models import CountChange, Lot, Species, SpeciesSheet
from quarantine.queries.books import book
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.quarantine.arriving import (
    NEON,
    lot_in,
    sale_of,
    species_of,
    supplier_of,
)
from tests.tanks.estate import vessel_of

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house)


@pytest.fixture
def page(house: House, client: Client, monkeypatch: pytest.MonkeyPatch) -> Client:
    monkeypatch.setattr(timezone, "now", lambda: NOON + HOUR)
    client.force_login(house.mo)
    return client


def told(answer: Any) -> str:
    text: str = answer.content.decode()
    return text


def test_a_lot_shows_its_book_and_every_entry(house: House, tank: Vessel, page: Client) -> None:
    lot = lot_in(house, tank)
    sale = sell_animals(sale_of(lot, tank), by=house.ana, at=NOON)
    page.post(
        reverse("quarantine:amend-change", args=[sale.pk]),
        {"id": str(uuid4()), "count": "5", "reason": "Five, not three"},
    )
    shown = told(page.get(reverse("quarantine:lot", args=[lot.pk])))

    assert "48 arrived alive, into A-01" in shown
    assert "<s>3 sold out of A-01</s> (put right since)" in shown
    assert "5 sold out of A-01" in shown
    assert book(lot).remaining == 43


def test_a_tanks_page_says_which_animals_are_in_its_water(
    house: House, tank: Vessel, page: Client
) -> None:
    assert "Animals here" not in told(page.get(reverse("tanks:tank", args=[tank.pk])))
    for count in range(20, 27):
        lot_in(house, tank, count=count)
    shown = told(page.get(reverse("tanks:tank", args=[tank.pk])))

    assert f"A-01: 26 {NEON} (L-0007)" in shown
    assert "; and 1 more." in shown


@pytest.mark.parametrize(
    ("name", "sent", "kind"),
    [
        ("sell-animals", {"count": "2", "note": ""}, "SOLD"),
        ("send-off", {"count": "2", "destination": "Quillhaven"}, "LEFT"),
        ("report-missing", {"count": "2", "note": "Floor searched"}, "MISSING"),
        ("split-lot", {"count": "2", "sex": "MALE"}, "SPLIT"),
        ("correct-count", {"counted": "40", "reason": "Counted"}, "CORRECTED"),
    ],
)
def test_each_sheet_of_a_lot_writes_its_line(
    house: House, tank: Vessel, page: Client, name: str, sent: dict[str, str], kind: str
) -> None:
    lot = lot_in(house, tank)
    address = reverse(f"quarantine:{name}", args=[lot.pk])
    assert page.get(address).status_code == 200
    common = {"id": str(uuid4()), "vessel": str(tank.pk), "happened_at": "2026-03-29T13:30"}

    refused = page.post(address, common)
    answer = page.post(address, common | sent)

    assert (refused.status_code, answer.status_code) == (422, 303)
    assert CountChange.objects.filter(kind=kind).count() == 1
    assert book(lot).closes


def test_lots_are_merged_and_opened_by_their_sheets(
    house: House, tank: Vessel, page: Client
) -> None:
    first, second = lot_in(house, tank), lot_in(house, tank)
    merged = page.post(
        reverse("quarantine:merge-lots", args=[first.pk]),
        {"id": str(uuid4()), "others": [str(second.pk)], "happened_at": "2026-03-29T13:30"},
    )
    opened = page.post(
        reverse("quarantine:open-lot", args=[house.site.pk]),
        {
            "id": str(uuid4()),
            "made": "BRED",
            "species": str(species_of(house).pk),
            "vessel": str(tank.pk),
            "count": "200",
            "sex": "UNKNOWN",
            "happened_at": "2026-03-29T13:30",
        },
    )

    assert (merged.status_code, opened.status_code) == (303, 303)
    shown = told(page.get(merged["Location"]))
    assert f">{first.code}</a>" in shown
    assert f">{second.code}</a>" in shown
    assert Lot.objects.filter(made="BRED").count() == 1


def test_the_inventory_of_a_past_moment_as_known_then_and_now(
    house: House, tank: Vessel, page: Client
) -> None:
    lot = lot_in(house, tank)
    sell_animals(sale_of(lot, tank, count=9), by=house.ana, at=NOON + HOUR / 2)
    address = reverse("quarantine:inventory", args=[house.site.pk])

    def counts(**asked: str) -> list[str]:
        rows = csv.DictReader(io.StringIO(told(page.get(address, asked))))
        return [row["individualCount"] for row in rows]

    assert counts() == ["39"]
    assert counts(at="2026-03-29T13:10") == ["39"]
    assert counts(at="2026-03-29T13:10", known="2026-03-29T13:20") == ["48"]
    assert counts(at="2026-03-29T12:00") == []
    shown = page.get(
        reverse("quarantine:animals"), {"at": "2026-03-29T13:10", "known": "2026-03-29T13:20"}
    )
    assert "48 animals in 1 lot" in told(shown)


def test_a_managers_own_list_is_taken_in_whole_or_not_at_all(house: House, page: Client) -> None:
    address = reverse("quarantine:species-list", args=[house.site.pk])
    head = "scientificName;vernacularName;group;temperatureLowC;temperatureHighC;shortestStayDays\n"
    good = head + "Puntius titteya;Cherry barb;FISH;22,5;26;21\nNeritina natalensis;;MOLLUSC;;;\n"
    bad = good + "Corydoras paleatus;;BIRD;30;20;x\n"

    wrong = page.post(address, {"file": SimpleUploadedFile("a.csv", bad.encode())})
    assert wrong.status_code == 422
    assert "Line 4: shortestStayDays" in told(wrong)
    assert not Species.objects.exists()
    for _ in range(2):
        taken = page.post(address, {"file": SimpleUploadedFile("a.csv", good.encode())})
        assert taken.status_code == 303

    assert (Species.objects.count(), SpeciesSheet.objects.count()) == (2, 1)
    barb = SpeciesSheet.objects.get()
    assert (str(barb.temperature_low_c), barb.shortest_stay_days, barb.is_verified) == (
        "22.5",
        21,
        False,
    )
    out = told(page.get(address, {"csv": "1"}))
    assert out.startswith("scientificName,vernacularName,group,waterKind")
    assert "Puntius titteya,Cherry barb,FISH,FRESH,ROUTINE,22.5,26" in out
    again = page.post(address, {"file": SimpleUploadedFile("a.csv", out.encode())})
    assert again.status_code == 303


def test_lists_of_species_suppliers_and_protocols(house: House, page: Client) -> None:
    site = house.site.pk
    for name, sent in (
        (
            "describe-species",
            {"scientific_name": NEON, "group": "FISH", "water_kind": "FRESH"},
        ),
        ("add-supplier", {"name": "Brackwater Farm", "country": "pt"}),
        ("set-protocol", {"name": "Drip", "edition": "1", "steps": "Drip for 30 min."}),
    ):
        address = reverse(f"quarantine:{name}", args=[site])
        assert page.get(address).status_code == 200
        assert page.post(address, {"id": str(uuid4())} | sent).status_code == 303
    shown = told(page.get(reverse("quarantine:lists")))

    for words in (NEON, "Brackwater Farm", "Drip for 30 min.", "none yet"):
        assert words in shown
    page.post(
        reverse("quarantine:retire-supplier", args=[supplier_of(house, "Brackwater Farm").pk])
    )
    assert "off the list since" in told(page.get(reverse("quarantine:lists")))


def test_a_sheet_is_set_and_marked_until_somebody_verified_it(house: House, page: Client) -> None:
    species = species_of(house)
    address = reverse("quarantine:set-species-sheet", args=[species.pk])
    sent = {
        "id": str(uuid4()),
        "temperature_low_c": "22",
        "temperature_high_c": "26",
        "shortest_stay_days": "30",
        "care_class": "SENSITIVE",
        "source": "House practice",
    }
    crossed = page.post(address, sent | {"temperature_high_c": "20"})
    answer = page.post(address, sent)
    shown = told(page.get(answer["Location"]))

    assert "lies below the lower one" in told(crossed)
    assert "22.0 to 26.0 °C" in shown
    assert "not verified" in shown
