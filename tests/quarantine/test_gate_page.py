"""The gate on screen: open to read for who works here, to sign for who may, with the password."""

from datetime import datetime
from typing import Any

import pytest
from django.core.cache import caches
from django.test import Client
from django.utils import timezone

from facility.models import Person
from quarantine.models import Admission
from tests.cast import PASSWORD, House
from tests.quarantine.ready import AT, admission_of, admitted, ready
from tests.tanks.proving import HOUR, Proving, proving


@pytest.fixture(autouse=True)
def _noon(monkeypatch: pytest.MonkeyPatch) -> None:
    caches["default"].clear()
    monkeypatch.setattr(timezone, "now", lambda: AT)


def shown(client: Client, told: Proving, who: Person, *, status: int = 200) -> str:
    client.force_login(who)
    answer = client.get(f"/waters/{told.vessel.pk}/gate/")
    assert answer.status_code == status
    return str(answer.content.decode())


def signed(client: Client, told: Proving, who: Person, **changes: str) -> Any:
    client.force_login(who)
    command = admission_of(told)
    given = {"id": str(command.id), "meaning": command.meaning, "password": PASSWORD}
    return client.post(f"/waters/{told.vessel.pk}/gate/admit/", given | changes)


def test_it_says_no_in_words_and_why(client: Client, house: House) -> None:
    html = shown(client, proving(house), house.mo)

    assert "Not yet: " in html
    assert "No certified feed has been signed for this water." in html
    assert "Sign and open" not in html


def test_all_met_it_offers_the_signature_to_those_who_may(client: Client, house: House) -> None:
    told = ready(house)

    assert "Sign and open" in shown(client, told, house.mo)
    assert "Sign and open" in shown(client, told, house.vera)
    for reader in (house.ana, house.hale):
        html = shown(client, told, reader)
        assert "Yes: all " in html
        assert "Sign and open" not in html


def test_a_stranger_finds_nothing_and_signed_out_one_signs_in(client: Client, house: House) -> None:
    told = proving(house)

    signed_out = client.get(f"/waters/{told.vessel.pk}/gate/")

    assert signed_out.status_code == 302
    assert signed_out["Location"].startswith("/sign-in/")
    shown(client, told, house.bo, status=404)
    assert signed(client, told, house.bo).status_code == 404


def test_an_auditor_may_read_but_not_sign(client: Client, house: House) -> None:
    told = ready(house)

    shown(client, told, house.hale)

    assert signed(client, told, house.hale).status_code == 403
    assert not Admission.objects.exists()


def test_without_the_signer_s_own_password_nothing_opens(client: Client, house: House) -> None:
    told = ready(house)

    answer = signed(client, told, house.mo, password="someone else's")

    assert answer.status_code == 422
    assert "This is not the password of Mo Tarrant" in answer.content.decode()
    assert not Admission.objects.exists()


def test_guessing_the_password_is_stopped(client: Client, house: House) -> None:
    told = ready(house)
    for _ in range(10):
        signed(client, told, house.mo, password="guess")

    answer = signed(client, told, house.mo)

    assert "Too many wrong passwords" in answer.content.decode()
    assert not Admission.objects.exists()


def test_a_shut_gate_is_answered_with_every_hindrance(client: Client, house: House) -> None:
    answer = signed(client, proving(house), house.mo)

    html = answer.content.decode()
    assert answer.status_code == 422
    assert "The gate stays shut" in html
    assert "Certified feed signed and in force: No certified feed has been signed" in html


def test_signing_opens_and_leads_on_to_what_entered(client: Client, house: House) -> None:
    told = ready(house)

    by_mo = signed(client, told, house.mo)
    admission = Admission.objects.get()
    by_vera = signed(client, told, house.vera)

    assert (admission.by, admission.happened_at) == (house.mo, AT)
    assert (by_mo.status_code, by_vera.status_code) == (303, 303)
    assert by_mo["Location"] == f"/admissions/{admission.pk}/stocking/"
    # A veterinarian opens the gate; what enters is recorded by those who keep the tanks.
    assert by_vera["Location"] == f"/waters/{told.vessel.pk}/gate/"


def test_every_gate_of_the_site_is_listed(client: Client, house: House) -> None:
    ready(house)

    client.force_login(house.ana)
    ours = client.get("/gates/").content.decode()
    client.force_login(house.bo)
    theirs = client.get("/gates/").content.decode()

    assert "Yes: all 20 requirements are met." in ours
    assert "No water is in start-up where you work." in theirs


def test_what_changed_since_the_signature_is_shouted_before_animals_go_in(
    client: Client, house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = ready(house)
    admission = admitted(told)
    told.read("TEMPERATURE", "31", at=AT + HOUR)
    later: datetime = AT + 2 * HOUR
    monkeypatch.setattr(timezone, "now", lambda: later)
    client.force_login(house.ana)

    html = client.get(f"/admissions/{admission.pk}/stocking/").content.decode()

    assert "Put no animals in" in html
    assert "Temperature reads 31 °C, outside 24 to 26 °C" in html
