"""The dose page: the working before, the amount after, and questions asked once."""

from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from facility.models import Person
from tanks.models import Dose, Product, Vessel
from tests.cast import House
from tests.tanks.estate import measured, opened, system_of, vessel_of
from tests.tanks.samples import kit, logged
from tests.tanks.shelf import dosed, shelved, started


@pytest.fixture
def tank(house: House) -> Vessel:
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    return vessel


@pytest.fixture
def salt(house: House) -> Product:
    return shelved(house)


def signed_in(person: Person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def address(vessel: Vessel, query: str = "?purpose=AMMONIA") -> str:
    return reverse("tanks:log-dose", args=[vessel.pk]) + query


def typed(product: Product, **changes: object) -> dict[str, object]:
    local = timezone.localtime(timezone=product.site.zone)
    sheet = {
        "id": str(uuid4()),
        "product": str(product.pk),
        "target": "2",
        "target_unit": "mg/L-N",
        "amount": "3.06",
        "happened_at": f"{local:%Y-%m-%dT%H:%M}",
    }
    return sheet | changes


def text(response: Any) -> str:
    written: bytes = response.content
    return written.decode()


def test_page_shows_the_water_and_never_fills_in_the_amount(
    house: House, tank: Vessel, salt: Product
) -> None:
    system = system_of(house)
    measured(house, system, litres="1600")
    opened(house, tank, system)

    page = text(signed_in(house.ana).get(address(tank)))

    assert "S-1, A-01" in page
    assert "2000" in page
    # 2 mg/L-N in 2000 L: 4000 / 261.9 = 15.3 g.
    assert "15.3 g NH₄Cl" in page
    amount = page.split('name="amount"')[1].split(">")[0]
    assert "value" not in amount


def test_dose_is_recorded_and_leads_back_to_the_tank(
    house: House, tank: Vessel, salt: Product
) -> None:
    answer = signed_in(house.ana).post(address(tank), typed(salt))

    assert (answer.status_code, answer.headers["Location"]) == (
        303,
        reverse("tanks:tank", args=[tank.pk]),
    )
    assert Dose.objects.get().by == house.ana


def test_comma_is_a_decimal_point(house: House, tank: Vessel, salt: Product) -> None:
    signed_in(house.ana).post(address(tank), typed(salt, amount="3,06"))

    assert float(Dose.objects.get().amount) == pytest.approx(3.06)


def test_look_keeps_nothing_and_loses_nothing(house: House, tank: Vessel, salt: Product) -> None:
    sheet = typed(salt, amount="6", preview="1")

    answer = signed_in(house.ana).post(address(tank), sheet)

    assert answer.status_code == 200
    # 6 g of 3.055 for 2 mg/L-N: 3.93.
    assert "6 g in 400 L is 3.93 mg/L-N." in text(answer)
    assert 'value="6"' in text(answer)
    assert not Dose.objects.exists()


def test_live_look_sends_only_its_parts(house: House, tank: Vessel, salt: Product) -> None:
    sheet = typed(salt, preview="1")

    page = text(signed_in(house.ana).post(address(tank), sheet, headers={"HX-Request": "true"}))

    assert "<html" not in page
    assert 'id="working"' in page
    assert 'id="gives" hx-swap-oob' in page


def test_slip_is_asked_about_and_taken_when_ticked(
    house: House, tank: Vessel, salt: Product
) -> None:
    client, sheet = signed_in(house.ana), typed(salt, target="0.3", amount="4.6")
    asked = client.post(address(tank), sheet)
    box = text(asked).split('name="confirmed" value="')[1].split('"')[0]

    answer = client.post(address(tank), sheet | {"confirmed": box})

    assert asked.status_code == 422
    assert 'value="4.6"' in text(asked)
    assert answer.status_code == 303


def test_tick_does_not_cover_another_amount(house: House, tank: Vessel, salt: Product) -> None:
    client, sheet = signed_in(house.ana), typed(salt, target="0.3", amount="4.6")
    asked = client.post(address(tank), sheet)
    box = text(asked).split('name="confirmed" value="')[1].split('"')[0]

    answer = client.post(address(tank), sheet | {"confirmed": box, "amount": "4.7"})

    assert answer.status_code == 422
    assert not Dose.objects.exists()


def test_latest_doser_is_named_before_anything_is_weighed(
    house: House, tank: Vessel, salt: Product
) -> None:
    an_hour_ago = timezone.now() - timedelta(hours=1)
    dosed(salt, tank, by=house.mo, happened_at=an_hour_ago)

    page = text(signed_in(house.ana).get(address(tank)))

    assert "Mo Tarrant put" in page
    assert "read it first" in page


def test_cap_is_told_before_anything_is_weighed(house: House, tank: Vessel, salt: Product) -> None:
    logged(house, tank, kit(house, "TAN"), "4.5", at=timezone.now() - timedelta(hours=1))

    assert "The cap is 5" in text(signed_in(house.ana).get(address(tank)))


def test_alkalinity_on_top_of_ammonia_is_warned_about(house: House, tank: Vessel) -> None:
    # Trade slip: a quick pH lift in water with ammonia; NH3 up tenfold from pH 6.2 to 7.5.
    shelved(house, substance="SODIUM_BICARBONATE")
    just_now = timezone.now() - timedelta(minutes=10)
    for parameter, value in (
        ("TAN", "4"),
        ("PH", "6.2"),
        ("TEMPERATURE", "25"),
        ("ALKALINITY", "0.2"),
    ):
        logged(house, tank, kit(house, parameter), value, at=just_now)

    page = text(signed_in(house.ana).get(address(tank, "?purpose=ALKALINITY&target=2")))

    assert "Ammonia is present." in page
    assert "Emerson et al. 1975" in page


def test_unmeasured_water_leads_to_its_measuring(house: House, salt: Product) -> None:
    vessel = vessel_of(house, code="B-02")

    page = text(signed_in(house.ana).get(address(vessel)))

    assert reverse("tanks:measure-volume", args=[vessel.pk]) in page


def test_empty_shelf_leads_to_the_shelf(house: House, tank: Vessel) -> None:
    page = text(signed_in(house.ana).get(address(tank)))

    assert reverse("tanks:shelve-product", args=[house.site.pk]) in page


def test_challenge_is_aimed_at_the_declared_load(house: House, tank: Vessel, salt: Product) -> None:
    # 10 g/day at 45 % protein in 400 L: 10 x 0.45 x 0.092 x 1000 / 400 = 1.035; policy floor 2.
    started(house, tank, salt)

    page = text(signed_in(house.ana).get(address(tank, "?purpose=CHALLENGE")))

    assert 'name="target" value="2"' in page


def test_unknown_purpose_is_no_page(house: House, tank: Vessel) -> None:
    assert signed_in(house.ana).get(address(tank, "?purpose=TASTE")).status_code == 404


def test_stranger_finds_nothing_and_auditor_may_not(house: House, tank: Vessel) -> None:
    assert signed_in(house.bo).get(address(tank)).status_code == 404
    assert signed_in(house.hale).get(address(tank)).status_code == 403


def test_signed_out_is_asked_to_sign_in(house: House, tank: Vessel) -> None:
    answer = Client().get(address(tank))

    assert answer.status_code == 302
    assert "sign-in" in answer.headers["Location"]


@pytest.mark.parametrize(("read", "warns"), [(">5", True), ("<0.01", False)])
def test_chlorine_in_the_water_is_told_before_ammonia_goes_in(
    house: House, tank: Vessel, salt: Product, read: str, *, warns: bool
) -> None:
    started(house, tank, salt)
    photometer = kit(house, "CHLORINE", kind="PHOTOMETER", steps=(), lowest=Decimal("0.01"))
    logged(house, tank, photometer, read)

    page = text(signed_in(house.ana).get(address(tank)))

    assert ("it makes chloramine" in page) is warns
