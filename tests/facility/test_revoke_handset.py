from datetime import timedelta

import pytest
from django.test import Client

from facility.commands.handsets import RevokeHandset, revoke_handset
from facility.models import Entry
from facility.queries.handsets import COOKIE, hands_in, hands_token, handset_in
from facility.queries.proof import first_breach
from tests.cast import NOON, House
from tests.facility.shared_phones import TOKEN, carrying, paired, pin_for

pytestmark = pytest.mark.django_db


def test_a_lost_phone_is_nobodys_from_then_on(house: House) -> None:
    handset = paired(house)
    command = RevokeHandset(handset_id=handset.pk)

    ended = revoke_handset(command, by=house.mo, at=NOON + timedelta(hours=1))
    again = revoke_handset(command, by=house.mo, at=NOON + timedelta(hours=2))

    assert ended.revoked_at == again.revoked_at == NOON + timedelta(hours=1)
    assert handset_in({COOKIE: TOKEN}) is None
    assert Entry.objects.filter(kind="facility.revoke-handset").count() == 1
    assert first_breach(house.site) is None


def test_it_changes_hands_no_more(house: House, client: Client) -> None:
    handset = paired(house)
    pin_for(house, house.ana)
    revoke_handset(RevokeHandset(handset_id=handset.pk), by=house.mo, at=NOON)

    answer = carrying(client).post("/hands/", {"person": str(house.ana.pk), "pin": "7294"})

    assert (answer.status_code, answer["Location"]) == (303, "/sign-in/")
    assert "_auth_user_id" not in client.session


def test_a_token_of_one_phone_is_nothing_on_another(house: House) -> None:
    first, second = paired(house), paired(house, token="another")
    token = hands_token(first, house.ana)

    assert hands_in(first, token) == house.ana
    assert hands_in(second, token) is None


def test_a_manager_ends_it_on_the_page(house: House, client: Client) -> None:
    handset = paired(house)
    client.force_login(house.mo)
    address = f"/handsets/{handset.pk}/revoke/"

    assert "End the pairing of Phone 2" in client.get(address).content.decode()
    assert client.post(address).status_code == 303
    handset.refresh_from_db()
    assert handset.revoked_at is not None
