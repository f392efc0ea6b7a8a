from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.core.cache import caches
from django.template.loader import render_to_string
from django.test import Client

from facility.models import Membership, Person, Site
from facility.sockets.menu import MenuEntry, menu

NOON = datetime(2026, 10, 25, 12, 0, tzinfo=UTC)
PASSWORD = "brackish river mouth"
TOO_MANY = "Too many failed sign-ins for this name: wait 10 minutes, or ask a manager."
WRONG = "Name and password do not belong together: check both, capitals count."

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _no_earlier_failures(db: None) -> None:
    caches["default"].clear()


@pytest.fixture
def ana(db: None) -> Person:
    person = Person(username="ana", full_name="Ana Brandt", initials="AB")
    person.set_password(PASSWORD)
    person.save()
    return person


@pytest.fixture
def yard(ana: Person) -> Site:
    site = Site.objects.create(
        name="Canal Yard", time_zone="America/New_York", jurisdiction="none", opened_at=NOON
    )
    Membership.objects.create(person=ana, site=site, role=Membership.Role.STAFF, since=NOON)
    return site


def sign_in(client: Client, *, password: str = PASSWORD, path: str = "/sign-in/") -> Any:
    return client.post(path, {"username": "ana", "password": password})


def test_the_right_password_opens_the_house_for_thirty_days(client: Client, ana: Person) -> None:
    answer = sign_in(client)

    assert (answer.status_code, answer["Location"]) == (303, "/")
    assert client.session["_auth_user_id"] == str(ana.pk)
    assert client.session.get_expiry_age() == timedelta(days=30).total_seconds()


def test_the_page_asked_for_before_is_shown_after(client: Client, ana: Person) -> None:
    assert sign_in(client, path="/sign-in/?next=/t/ABC")["Location"] == "/t/ABC"
    assert client.get("/sign-in/?next=/t/ABC")["Location"] == "/t/ABC"


@pytest.mark.parametrize(
    "elsewhere", ["https://elsewhere.example/", "//elsewhere.example", "javascript:alert(1)", ""]
)
def test_signing_in_never_leads_off_this_server(
    client: Client, ana: Person, elsewhere: str
) -> None:
    assert sign_in(client, path=f"/sign-in/?next={elsewhere}")["Location"] == "/"


def test_a_wrong_password_gets_one_sentence_and_keeps_the_name(client: Client, ana: Person) -> None:
    answer = sign_in(client, password="brackish")

    assert answer.status_code == 422
    assert WRONG in answer.content.decode()
    assert 'value="ana"' in answer.content.decode()
    assert "_auth_user_id" not in client.session


def test_an_unknown_name_gets_the_same_sentence(client: Client) -> None:
    assert WRONG in sign_in(client).content.decode()


def test_somebody_who_left_cannot_sign_in(client: Client, ana: Person) -> None:
    ana.is_active = False
    ana.save()

    assert sign_in(client).status_code == 422


def test_after_ten_failures_even_the_right_password_waits(client: Client, ana: Person) -> None:
    statuses = [sign_in(client, password="wrong").status_code for _ in range(10)]

    answer = sign_in(client)

    assert statuses == [422] * 10
    assert answer.status_code == 429
    assert TOO_MANY in answer.content.decode()


def test_the_other_spelling_of_a_name_counts_as_the_name(client: Client, ana: Person) -> None:
    for _ in range(10):
        client.post("/sign-in/", {"username": "ANA", "password": "wrong"})

    assert sign_in(client).status_code == 429


def test_nine_failures_are_forgotten_by_signing_in(client: Client, ana: Person) -> None:
    for _ in range(9):
        sign_in(client, password="wrong")

    assert sign_in(client).status_code == 303
    client.post("/sign-out/")
    assert sign_in(client, password="wrong").status_code == 422
    assert sign_in(client).status_code == 303


def test_signing_out_needs_a_button_and_ends_the_session(client: Client, ana: Person) -> None:
    client.force_login(ana)

    assert client.get("/sign-out/").status_code == 405
    assert client.post("/sign-out/")["Location"] == "/sign-in/"
    assert "_auth_user_id" not in client.session


def test_a_sheet_of_another_site_is_not_accepted(ana: Person) -> None:
    guarded = Client(enforce_csrf_checks=True)

    answer = guarded.post("/sign-in/", {"username": "ana", "password": PASSWORD})

    assert answer.status_code == 403
    assert "nothing was recorded" in answer.content.decode()


def test_the_frame_says_where_and_who_and_shows_the_role_its_menu(
    client: Client, ana: Person, yard: Site
) -> None:
    client.force_login(ana)
    shared = MenuEntry(name="t.all", label="For everybody", url_name="alive", order=1)
    managers = MenuEntry(
        name="t.managers",
        label="For managers",
        url_name="alive",
        order=2,
        roles=frozenset({"MANAGER"}),
    )

    with menu.plugged(shared, managers):
        page = client.get("/no-such-page/").content.decode()

    assert "Nothing at this address" in page
    assert '<p class="site">Canal Yard</p>' in page
    assert "Ana Brandt" in page
    assert "For everybody" in page
    assert "For managers" not in page
    assert "<summary>The house</summary>" in page


def test_the_frame_of_a_stranger_has_no_menu(client: Client) -> None:
    page = client.get("/sign-in/").content.decode()

    assert "popover" not in page
    assert "Sign out" not in page
    assert "Local law and a licensed veterinarian come first." in page


def test_the_last_resort_page_needs_neither_request_nor_database() -> None:
    page = render_to_string("500.html")

    assert "What was saved before is kept" in page
    assert "Sign out" not in page


def test_no_page_of_the_shell_carries_script_or_style_of_its_own(
    client: Client, ana: Person, yard: Site
) -> None:
    """The Content-Security-Policy would drop them."""
    client.force_login(ana)

    page = client.get("/no-such-page/").content.decode()

    assert "<style" not in page
    assert " style=" not in page
    assert page.count("<script ") == page.count("<script src=")
    assert "<script>" not in page
