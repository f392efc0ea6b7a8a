import pytest
from django.test import Client

from facility.commands.handsets import HandsetNameMissing, NoToken, pair_handset
from facility.models import Entry, Handset
from facility.queries.handsets import COOKIE, digest_of, handset_in
from tests.cast import NOON, House
from tests.facility.shared_phones import TOKEN, pairing_of

pytestmark = pytest.mark.django_db


def test_a_phone_is_known_by_its_token_and_only_the_digest_is_kept(house: House) -> None:
    handset = pair_handset(pairing_of(house), by=house.mo, at=NOON)

    assert handset_in({COOKIE: TOKEN}) == handset
    assert handset_in({COOKIE: "another"}) is None
    assert handset_in({}) is None
    line = Entry.objects.get(kind="facility.pair-handset")
    assert TOKEN not in str(line.facts)
    assert handset.token_sha256 == digest_of(TOKEN)


def test_a_nameless_phone_is_refused(house: House) -> None:
    with pytest.raises(HandsetNameMissing, match="Give the phone a name"):
        pair_handset(pairing_of(house, name=" "), by=house.mo, at=NOON)


def test_one_token_names_one_phone(house: House) -> None:
    pair_handset(pairing_of(house), by=house.mo, at=NOON)

    with pytest.raises(NoToken, match="make a new one"):
        pair_handset(pairing_of(house), by=house.mo, at=NOON)


def test_a_manager_pairs_the_phone_in_her_hand(house: House, client: Client) -> None:
    client.force_login(house.mo)

    answer = client.post(
        f"/sites/{house.site.pk}/handsets/new/",
        {"id": "0b1f7b3e-6c7a-4b51-9d2e-3f6f0f6f1a01", "name": "Phone 2"},
    )

    assert (answer.status_code, answer["Location"]) == (303, "/handsets/")
    cookie = answer.cookies[COOKIE]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"
    assert handset_in({COOKIE: cookie.value}) == Handset.objects.get()
    assert "This is Phone 2, shared at Kestrel Yard." in client.get("/handsets/").content.decode()


def test_a_name_left_out_is_asked_for_and_nothing_is_paired(house: House, client: Client) -> None:
    client.force_login(house.mo)

    answer = client.post(f"/sites/{house.site.pk}/handsets/new/", {"name": ""})

    assert answer.status_code == 422
    assert COOKIE not in answer.cookies
    assert not Handset.objects.exists()
