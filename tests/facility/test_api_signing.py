"""A signature needs the password itself: 21 CFR 11.200(a)(1)(i).

A session, such as a tablet that was left signed in, is not enough, by API as on the page.
"""

from base64 import b64encode
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone
from rest_framework.test import APIClient

from facility.sockets.deeds import deeds
from quarantine.models import Admission
from tests.cast import PASSWORD, House
from tests.quarantine.ready import AT, MEANING, ready

ADDRESS = "/api/deeds/quarantine.admit-animals/"


@pytest.fixture(autouse=True)
def _now(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: AT)


def _sent(house: House) -> dict[str, Any]:
    return {"id": str(uuid4()), "vessel_id": str(ready(house).vessel.pk), "meaning": MEANING}


def _with(password: str) -> dict[str, str]:
    return {"authorization": f"Basic {b64encode(f'mo:{password}'.encode()).decode()}"}


def test_a_session_alone_signs_nothing(house: House) -> None:
    client = APIClient()
    client.force_login(house.mo)

    answer = client.post(ADDRESS, _sent(house), format="json")

    assert answer.status_code == 401
    assert not Admission.objects.exists()


def test_the_password_signs_and_a_wrong_one_does_not(house: House) -> None:
    sent = _sent(house)

    wrong = APIClient().post(ADDRESS, sent, format="json", headers=_with("guess"))
    right = APIClient().post(ADDRESS, sent, format="json", headers=_with(PASSWORD))

    assert (wrong.status_code, right.status_code) == (401, 201)
    assert Admission.objects.get().by == house.mo


def test_wrong_passwords_by_api_count_as_on_the_sign_in_page(house: House) -> None:
    sent = _sent(house)
    statuses = {
        APIClient().post(ADDRESS, sent, format="json", headers=_with("guess")).status_code
        for _ in range(10)
    }

    right = APIClient().post(ADDRESS, sent, format="json", headers=_with(PASSWORD))
    page = Client().post("/sign-in/", {"username": "mo", "password": PASSWORD})

    assert statuses == {401}
    assert (right.status_code, page.status_code) == (429, 429)
    assert "wait 10 minutes" in right.json()["detail"]
    assert not Admission.objects.exists()


def test_what_ends_in_a_signature_is_known() -> None:
    signed = {deed.name for deed in deeds if deed.is_signature}

    assert signed == {
        "facility.set-pin",
        "tanks.sign-certificate",
        "quarantine.admit-animals",
        "quarantine.order-treatment",
        "quarantine.override-guard",
        "quarantine.release-lot",
    }
