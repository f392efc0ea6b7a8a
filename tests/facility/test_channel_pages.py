"""The pages on which one says how one is reached, tries it, and sees what was sent."""

import re

import pytest
from django.core import mail
from django.test import Client

from facility.commands.sending import send_next
from facility.models import Channel
from tests.cast import NOON, House
from tests.facility.alerting import a_sign, raised
from tests.facility.calling import a_listener, reached, received_at
from tests.facility.test_add_channel import PHONE


@pytest.fixture
def ana(house: House, client: Client) -> Client:
    client.force_login(house.ana)
    return client


@pytest.fixture
def mo(house: House, client: Client) -> Client:
    client.force_login(house.mo)
    return client


def _sent(client: Client, where: str, /, **typed: str) -> tuple[int, str]:
    page = client.get(where).content.decode()
    found = re.search(r'name="id" value="([^"]+)"', page)
    assert found
    answer = client.post(where, {"id": found[1], "up_to_level": "2", **typed})
    return answer.status_code, answer.content.decode()


def test_an_address_is_added_and_tried(house: House, ana: Client) -> None:
    where = f"/sites/{house.site.pk}/channels/new/"

    status, _ = _sent(ana, where, name="Post", address="ana@example.org")
    channel = Channel.objects.get()
    tried = ana.post(f"/channels/{channel.pk}/try/", follow=True)

    assert (status, channel.person) == (303, house.ana)
    assert "took a trial message" in tried.content.decode()
    assert mail.outbox[0].to == ["ana@example.org"]
    assert "ana@example.org" in ana.get("/channels/").content.decode()


def test_a_wrong_address_comes_back_as_it_was_typed(house: House, ana: Client) -> None:
    where = f"/sites/{house.site.pk}/channels/new/"

    status, page = _sent(ana, where, name="Post", address="ana at example")

    assert status == 422
    assert "Give an e-mail address, such as ana@example.org." in page
    assert 'value="ana at example"' in page


def test_a_phone_that_gave_nothing_is_told_so(house: House, ana: Client) -> None:
    where = f"/sites/{house.site.pk}/channels/new/?by=phone"

    refused, page = _sent(ana, where, name="My phone")
    taken, _ = _sent(ana, where, name="My phone", **{k: v for k, v in PHONE.items() if v})

    assert (refused, taken) == (422, 303)
    assert "The phone gave no subscription" in page
    assert Channel.objects.get().kind == "PUSH"


def test_the_secret_is_shown_once_and_no_more(house: House, mo: Client) -> None:
    where = f"/sites/{house.site.pk}/webhooks/new/"

    status, page = _sent(mo, where, name="Siren", url="https://example.org/alerts")

    secret = Channel.objects.get().secret
    assert status == 200
    assert len(secret) >= 32
    assert secret in page
    assert secret not in mo.get("/channels/").content.decode()
    assert secret not in mo.get("/ledger/").content.decode()


def test_staff_see_no_receivers(house: House, ana: Client) -> None:
    received_at(house, "https://example.org/alerts")

    assert "example.org" not in ana.get("/channels/").content.decode()
    assert ana.get(f"/sites/{house.site.pk}/webhooks/new/").status_code == 403


def test_nobody_tries_or_ends_what_is_anothers(house: House, ana: Client) -> None:
    channel = reached(house, house.mo)

    assert ana.post(f"/channels/{channel.pk}/try/").status_code == 404
    assert ana.post(f"/channels/{channel.pk}/end/").status_code == 404


def test_a_trial_that_fails_says_why(house: House, mo: Client) -> None:
    with a_listener() as receiver:
        channel = received_at(house, receiver.url)
        receiver.answers = [418]
        page = mo.post(f"/channels/{channel.pk}/try/", follow=True).content.decode()

    assert "127.0.0.1 answered 418." in page


def test_the_log_says_what_became_of_each(house: House, ana: Client) -> None:
    with a_listener() as receiver:
        received_at(house, receiver.url, name="Siren")
        receiver.answers = [500]
        raised(house)
        send_next(at=NOON)
    reached(house, house.mo)

    page = ana.get("/channels/sent/").content.decode()

    assert "127.0.0.1 answered 500." in page
    assert "Tried 1 time." in page
    assert "waits" in page


def test_what_nobody_has_accepted_stands_on_every_page(house: House, ana: Client) -> None:
    before = ana.get("/today/").content.decode()
    raised(house, a_sign(level=3))
    listed = ana.get("/today/").content.decode()
    raised(house, a_sign(level=1))
    called = ana.get("/today/").content.decode()

    sentence = "A-01: nobody has accepted this alert"
    assert sentence not in before
    assert sentence not in listed
    assert sentence in called
    assert sentence in ana.get("/alerts/calling/").content.decode()


def test_a_stranger_hears_of_nothing(house: House, client: Client) -> None:
    raised(house, a_sign(level=1))
    client.force_login(house.bo)

    assert client.get("/alerts/calling/").content.decode().strip() == ""
