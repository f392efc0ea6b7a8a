from datetime import timedelta
from uuid import uuid4

import pytest
from django.core.cache import caches
from django.test import Client

from facility.commands.handsets import PinUnfit, SetPin, set_pin
from facility.models import Entry, Pin
from facility.queries.handsets import hands_in, hands_token, pin_of
from facility.refusals import IdTaken
from tests.cast import NOON, PASSWORD, House
from tests.facility.shared_phones import PIN, paired, pin_for

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _no_earlier_failures(db: None) -> None:
    caches["default"].clear()


def test_neither_the_pin_nor_its_hash_is_in_the_ledger(house: House) -> None:
    pin = pin_for(house, house.ana)

    line = Entry.objects.get(kind="facility.set-pin")
    assert line.about == f"facility.person:{house.ana.pk}"
    assert PIN not in str(line.facts).replace(str(pin.pk), "")
    assert pin.secret not in str(line.facts)
    assert PIN not in pin.secret


def test_the_latest_pin_holds_and_ends_what_was_opened_with_the_one_before(house: House) -> None:
    handset = paired(house)
    pin_for(house, house.ana)
    opened = hands_token(handset, house.ana)

    later = pin_for(house, house.ana, "90210", at=NOON + timedelta(days=1))

    assert pin_of(house.ana) == later
    assert hands_in(handset, opened) is None
    assert Pin.objects.filter(person=house.ana).count() == 2


def test_a_run_is_refused(house: House) -> None:
    with pytest.raises(PinUnfit, match="neither a run"):
        pin_for(house, house.ana, "4567")


def test_one_id_names_one_pin(house: House) -> None:
    command = SetPin(id=uuid4(), site_id=house.site.pk, pin=PIN)
    first = set_pin(command, by=house.ana, at=NOON)

    assert set_pin(command, by=house.ana, at=NOON) == first
    with pytest.raises(IdTaken):
        set_pin(SetPin(id=command.id, site_id=house.site.pk, pin="8463"), by=house.ana, at=NOON)
    with pytest.raises(IdTaken):
        set_pin(command, by=house.mo, at=NOON)


def test_on_the_page_the_password_comes_with_it(house: House, client: Client) -> None:
    client.force_login(house.ana)
    address = f"/sites/{house.site.pk}/pin/"
    sheet = {"id": str(uuid4()), "pin": PIN, "again": PIN, "password": PASSWORD}

    wrong = client.post(address, sheet | {"password": "not hers"})
    unlike = client.post(address, sheet | {"again": "7295"})
    right = client.post(address, sheet)

    assert "This is not the password of Ana Quill" in wrong.content.decode()
    assert "The two differ" in unlike.content.decode()
    assert [answer.status_code for answer in (wrong, unlike, right)] == [422, 422, 303]
    assert Pin.objects.get().person == house.ana
