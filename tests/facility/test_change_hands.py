"""A shared phone passes from hand to hand."""

from typing import Any
from uuid import uuid4

import pytest
from django.core.cache import caches
from django.test import Client

from facility.models import Person
from facility.queries.handsets import COOKIE, hands_in, hands_token
from tests.cast import House
from tests.facility.shared_phones import PIN, carrying, paired, pin_for

pytestmark = pytest.mark.django_db
JSON = {"Accept": "application/json"}


@pytest.fixture(autouse=True)
def _no_earlier_failures(db: None) -> None:
    caches["default"].clear()


@pytest.fixture
def phone(house: House, client: Client) -> Client:
    """Ana and Mo have a PIN, Vera has none; Mo has it in hand."""
    paired(house)
    for person in (house.ana, house.mo):
        pin_for(house, person)
    client.force_login(house.mo)
    return carrying(client)


def take_over(phone: Client, person: Person, pin: str = PIN, **more: Any) -> Any:
    return phone.post("/hands/", {"person": str(person.pk), "pin": pin}, **more)


def test_with_her_pin_she_holds_it_and_goes_on_where_it_was(phone: Client, house: House) -> None:
    answer = phone.post("/hands/?next=/today/", {"person": str(house.ana.pk), "pin": PIN})

    assert (answer.status_code, answer["Location"]) == (303, "/today/")
    assert phone.session["_auth_user_id"] == str(house.ana.pk)
    assert answer.cookies[COOKIE]["httponly"]


def test_a_page_in_place_gets_the_token_that_marks_her_entries(phone: Client, house: House) -> None:
    told = take_over(phone, house.ana, headers=JSON).json()

    assert (told["person_id"], told["initials"]) == (str(house.ana.pk), "AQ")
    assert hands_in(house.site.handsets.get(), told["token"]) == house.ana
    assert phone.get("/hands/", headers=JSON).json()["name"] == "Ana Quill"


def test_another_pin_changes_nothing_and_says_so(phone: Client, house: House) -> None:
    page, program = (
        take_over(phone, house.ana, "7295"),
        take_over(phone, house.ana, "", headers=JSON),
    )

    assert page.status_code == program.status_code == 422
    assert "This is not the PIN of Ana Quill; enter it again." in page.content.decode()
    assert program.json() == {"says": "This is not the PIN of Ana Quill; enter it again."}
    assert phone.session["_auth_user_id"] == str(house.mo.pk)


def test_ten_wrong_pins_shut_out_even_the_right_one(phone: Client, house: House) -> None:
    for pin in range(7300, 7310):
        assert take_over(phone, house.ana, str(pin)).status_code == 422

    answer = take_over(phone, house.ana, headers=JSON)

    assert answer.status_code == 422
    assert "Too many wrong PINs" in answer.json()["says"]
    assert take_over(phone, house.mo).status_code == 303


def test_who_has_no_pin_or_works_elsewhere_is_not_offered(phone: Client, house: House) -> None:
    shown = phone.get("/hands/").content.decode()

    assert "Ana Quill" in shown
    assert "Vera Lund" not in shown
    for person in (house.vera, house.bo):
        assert take_over(phone, person).status_code == 422


def test_opened_without_signal_it_is_hers_by_the_token_once_there_is_signal(
    phone: Client, house: House
) -> None:
    handset = house.site.handsets.get()
    sent = {"person": str(house.ana.pk), "token": hands_token(handset, house.ana)}

    assert phone.post("/hands/", sent, headers=JSON).json()["name"] == "Ana Quill"
    assert phone.session["_auth_user_id"] == str(house.ana.pk)
    # Another's token opens nothing of hers.
    sent["token"] = hands_token(handset, house.mo)
    assert phone.post("/hands/", sent, headers=JSON).status_code == 422
    sent["token"] = f"{uuid4()}"
    assert phone.post("/hands/", sent, headers=JSON).status_code == 422


def test_every_page_of_a_shared_phone_can_change_hands(phone: Client) -> None:
    shown = phone.get("/people/").content.decode()

    assert 'id="hands"' in shown
    assert "Change hands" in shown
    assert "Ana Quill" in shown


def test_a_phone_that_is_nobodys_leads_to_signing_in(client: Client, house: House) -> None:
    for answer in (client.get("/hands/"), take_over(client, house.ana)):
        assert (answer.status_code, answer["Location"]) == (303, "/sign-in/")
