"""The pages of water changes, feed, seeding, incidents, ramps and the shelf."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from facility.models import Person
from tanks.models import (
    Cycle,
    Feeding,
    Incident,
    Product,
    Ramp,
    Seeding,
    Vessel,
    WaterChange,
)
from tests.cast import House
from tests.tanks.estate import device_on, measured, vessel_of
from tests.tanks.samples import kit, logged
from tests.tanks.shelf import shelved, started

PAGES = ["log-water-change", "log-feeding", "log-seeding", "log-incident"]


@pytest.fixture
def tank(house: House) -> Vessel:
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    return vessel


def signed_in(person: Person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def sent(name: str, vessel: Vessel, by: Person, sheet: Mapping[str, str]) -> Any:
    local: datetime = timezone.localtime(timezone=vessel.site.zone)
    whole = {"id": str(uuid4()), "happened_at": f"{local:%Y-%m-%dT%H:%M}", **sheet}
    return signed_in(by).post(reverse(f"tanks:{name}", args=[vessel.pk]), whole)


def text(response: Any) -> str:
    written: bytes = response.content
    return written.decode()


@pytest.mark.parametrize("name", PAGES)
def test_stranger_finds_nothing_and_auditor_may_not(house: House, tank: Vessel, name: str) -> None:
    address = reverse(f"tanks:{name}", args=[tank.pk])

    assert signed_in(house.ana).get(address).status_code == 200
    assert signed_in(house.bo).get(address).status_code == 404
    assert signed_in(house.hale).get(address).status_code == 403


def test_per_cent_is_of_the_water(house: House, tank: Vessel) -> None:
    answer = sent("log-water-change", tank, house.ana, {"quantity": "30", "quantity_in": "%"})

    assert answer.status_code == 303
    assert WaterChange.objects.get().litres == Decimal(120)


def test_more_than_the_water_is_refused_and_nothing_typed_is_lost(
    house: House, tank: Vessel
) -> None:
    sheet = {"quantity": "130", "quantity_in": "%", "source": "Vat two"}

    answer = sent("log-water-change", tank, house.ana, sheet)

    assert answer.status_code == 422
    assert "400 L net" in text(answer)
    assert 'value="130"' in text(answer)
    assert 'value="Vat two"' in text(answer)


def test_source_nitrate_as_ion_is_kept_as_nitrogen(house: House, tank: Vessel) -> None:
    # 10 mg/L as NO3 is 2.259 mg/L as N: molar masses 62.004 and 14.007.
    sheet = {
        "quantity": "120",
        "quantity_in": "L",
        "source_nitrate": "10",
        "source_nitrate_basis": "NO3",
    }

    sent("log-water-change", tank, house.ana, sheet)

    assert WaterChange.objects.get().source_nitrate_mg_l_n == Decimal("2.259")


def test_source_nitrate_without_its_basis_is_asked_for(house: House, tank: Vessel) -> None:
    sheet = {"quantity": "120", "quantity_in": "L", "source_nitrate": "10"}

    answer = sent("log-water-change", tank, house.ana, sheet)

    assert answer.status_code == 422
    assert "Choose as NO₃ or as N." in text(answer)


def test_what_a_change_leaves_is_shown_before(house: House, tank: Vessel) -> None:
    # 80 mg/L with 50 % of tap at 10: 80 + 0.5 x (10 - 80) = 45.
    logged(house, tank, kit(house, "NITRATE"), "80", at=timezone.now() - timedelta(hours=1))
    sheet = {
        "quantity": "50",
        "quantity_in": "%",
        "source_nitrate": "10",
        "source_nitrate_basis": "N",
        "preview": "1",
    }

    page = text(sent("log-water-change", tank, house.ana, sheet))

    assert "200 L of 400 L: 50 %" in page
    assert "about" in page
    assert ">45<" in page
    assert not WaterChange.objects.exists()


def test_feed_is_recorded_in_per_cent_of_protein(house: House, tank: Vessel) -> None:
    answer = sent("log-feeding", tank, house.ana, {"grams": "4.5", "protein": "45"})

    assert answer.status_code == 303
    assert Feeding.objects.get().protein_share == Decimal("0.45")


def test_what_a_meal_becomes_is_shown_before(house: House, tank: Vessel) -> None:
    # Timmons & Ebeling 2013: 20 g x 0.45 x 0.092 = 0.83 g N, 2.07 mg/L in 400 L.
    sheet = {"grams": "20", "protein": "45", "preview": "1"}

    page = text(sent("log-feeding", tank, house.ana, sheet))

    assert "0.828 g of total ammonia nitrogen: 2.07 mg/L-N in 400 L" in page
    assert not Feeding.objects.exists()


def test_device_in_the_way_of_a_culture_is_named(house: House, tank: Vessel) -> None:
    lamp = device_on(house, tank, name="UV at the return")

    page = text(signed_in(house.ana).get(reverse("tanks:log-seeding", args=[tank.pk])))

    assert "UV at the return" in page
    assert reverse("tanks:switch-device", args=[lamp.pk]) in page


def test_seeding_is_recorded(house: House, tank: Vessel) -> None:
    culture = shelved(house, substance="CULTURE", form="SOLUTION")
    sheet = {"kind": "CULTURE", "product": str(culture.pk), "origin": "", "quantity": "500 mL"}

    assert sent("log-seeding", tank, house.ana, sheet).status_code == 303
    assert Seeding.objects.get().product == culture


def test_media_of_unknown_origin_is_refused_beside_its_field(house: House, tank: Vessel) -> None:
    sheet = {"kind": "MATURE_MEDIA", "product": "", "origin": "", "quantity": "2 bags"}

    answer = sent("log-seeding", tank, house.ana, sheet)

    assert answer.status_code == 422
    assert "#id_origin" in text(answer)
    assert 'value="2 bags"' in text(answer)


def test_incident_page_says_what_it_ends_and_records(house: House, tank: Vessel) -> None:
    page = text(signed_in(house.ana).get(reverse("tanks:log-incident", args=[tank.pk])))
    sheet = {"kind": "MEDIA_DRIED", "lasted_h": "", "note": "Pump stood still overnight"}

    answer = sent("log-incident", tank, house.ana, sheet)

    assert "end a certified feed" in page
    assert answer.status_code == 303
    assert Incident.objects.get().lasted_h is None


@pytest.fixture
def cycle(house: House, tank: Vessel) -> Cycle:
    return started(house, tank, shelved(house))


def ramp_sheet(**changes: str) -> dict[str, str]:
    today = timezone.localdate()
    sheet = {"id": str(uuid4()), "of": "SALINITY", "end": "35", "days": "4"}
    return sheet | {"starts_on": today.isoformat()} | changes


def test_ramp_shows_its_steps_and_is_kept(house: House, cycle: Cycle) -> None:
    address = reverse("tanks:plan-ramp", args=[cycle.pk])
    client = signed_in(house.ana)

    page = text(client.get(address))
    answer = client.post(address, ramp_sheet())

    assert "of dry salt" in page
    assert answer.status_code == 303
    assert Ramp.objects.get().end == Decimal(35)
    assert "Planned by Ana Quill" in text(client.get(address))


def test_quick_heat_is_noted_before_it_is_kept(house: House, cycle: Cycle) -> None:
    address = reverse("tanks:plan-ramp", args=[cycle.pk]) + "?of=TEMPERATURE"
    sheet = ramp_sheet(of="TEMPERATURE", end="22", days="1", preview="1")

    page = text(signed_in(house.ana).post(address, sheet))

    assert "More than 2 °C a day" in page
    assert not Ramp.objects.exists()


def test_ramp_of_anything_else_is_no_page(house: House, cycle: Cycle) -> None:
    address = reverse("tanks:plan-ramp", args=[cycle.pk])

    assert signed_in(house.ana).get(address + "?of=PH").status_code == 404
    assert signed_in(house.bo).get(address).status_code == 404
    assert signed_in(house.hale).get(address).status_code == 403


@pytest.mark.parametrize(
    ("written", "measure", "form", "kept"),
    [
        ("99.5", "percent", "SOLID", "0.995"),
        ("100", "g/L", "SOLUTION", "100"),
        ("10", "w/v", "SOLUTION", "100"),
    ],
)
def test_strength_is_kept_from_what_the_label_prints(
    house: House, written: str, measure: str, form: str, kept: str
) -> None:
    # 10 % w/v is 10 g in 100 mL, 100 g/L: the definition of per cent weight in volume.
    sheet = {
        "id": str(uuid4()),
        "substance": "AMMONIUM_CHLORIDE",
        "name": "Reagent",
        "strength": written,
        "measure": measure,
        "batch": "K-1",
        "expires_on": "",
    }
    address = reverse("tanks:shelve-product", args=[house.site.pk])

    answer = signed_in(house.ana).post(address, sheet)

    assert answer.status_code == 303
    product = Product.objects.get()
    assert (product.form, product.strength) == (form, Decimal(kept))


def test_strength_is_asked_for_unless_it_is_a_culture(house: House) -> None:
    sheet = {"id": str(uuid4()), "name": "Jar", "strength": "", "measure": "percent"}
    address = reverse("tanks:shelve-product", args=[house.site.pk])
    client = signed_in(house.ana)

    without = client.post(address, sheet | {"substance": "SODIUM_BICARBONATE"})
    culture = client.post(address, sheet | {"substance": "CULTURE"})

    assert (without.status_code, culture.status_code) == (422, 303)


def test_shelf_lists_what_stands_there_and_offers_to_take_it_off(house: House) -> None:
    product = shelved(house, strength="0.995")
    address = reverse("tanks:retire-product", args=[product.pk])
    client = signed_in(house.ana)
    local = timezone.localtime(timezone=house.site.zone)

    page = text(client.get(reverse("tanks:shelf")))
    answer = client.post(address, {"happened_at": f"{local:%Y-%m-%dT%H:%M}"})

    assert "99.5 % pure" in page
    assert address in page
    assert answer.status_code == 303
    assert "99.5 % pure" not in text(client.get(reverse("tanks:shelf")))


def test_auditor_sees_the_shelf_but_changes_nothing(house: House) -> None:
    product = shelved(house)
    client = signed_in(house.hale)
    retire = reverse("tanks:retire-product", args=[product.pk])

    assert retire not in text(client.get(reverse("tanks:shelf")))
    assert client.get(retire).status_code == 403
    assert signed_in(house.bo).get(retire).status_code == 404
