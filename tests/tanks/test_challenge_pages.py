"""Challenges begun, judged and certified on their pages."""

from datetime import timedelta
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.core.cache import caches
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from tanks.commands.withdrawals import WithdrawEntry, withdraw_entry
from tanks.models import Certificate, Challenge, Verdict
from tests.cast import PASSWORD, House
from tests.tanks.proving import HOUR, Proving
from tests.tanks.startups import proven_twice, signed_in, under_way

MEANING = "I have read both passes and certify 19.3 g of feed a day at 45 % protein for this water."


@pytest.fixture(autouse=True)
def _no_earlier_failures(db: None) -> None:
    caches["default"].clear()


def url_of(known: Proving, name: str, *more: UUID) -> str:
    return reverse(f"tanks:{name}", args=[known.cycle.pk, *more])


def signed(client: Client, known: Proving, **changes: Any) -> Any:
    told = {"id": str(uuid4()), "meaning": MEANING, "has_read": "on", "password": PASSWORD}
    return client.post(url_of(known, "sign-certificate"), told | changes)


def judging(known: Proving, **read: str) -> tuple[Challenge, dict[str, str]]:
    command = known.judgeable(at=timezone.now() - 25 * HOUR, **read)
    sent = {
        "id": str(uuid4()),
        "start_id": str(command.start_id),
        "tan_id": str(command.tan_id),
        "nitrite_id": str(command.nitrite_id),
        "happened_at": timezone.localtime(timezone.now() - 10 * timedelta(minutes=1)).strftime(
            "%Y-%m-%dT%H:%M"
        ),
    }
    return Challenge.objects.get(pk=command.challenge_id), sent


def test_without_a_challenge_dose_the_page_leads_to_one(house: House) -> None:
    known = under_way(house)

    shown = signed_in(house.ana).get(url_of(known, "begin-challenge")).content.decode()

    assert f"{reverse('tanks:log-dose', args=[known.vessel.pk])}?purpose=CHALLENGE" in shown


def test_a_logged_dose_begins_a_challenge(house: House) -> None:
    known = under_way(house)
    dose = known.dose(at=timezone.now() - HOUR)
    sent = {"id": str(uuid4()), "dose_id": str(dose.pk)}

    answer = signed_in(house.ana).post(url_of(known, "begin-challenge"), sent)

    assert answer.status_code == 303
    assert Challenge.objects.get().dose == dose


def test_a_dose_of_nowhere_begins_none(house: House) -> None:
    known = under_way(house)
    known.dose(at=timezone.now() - HOUR)
    sent = {"id": str(uuid4()), "dose_id": str(uuid4())}

    answer = signed_in(house.ana).post(url_of(known, "begin-challenge"), sent)

    assert answer.status_code == 422
    assert "Choose one of the answers offered." in answer.content.decode()
    assert not Challenge.objects.exists()


def test_findings_are_shown_before_anything_is_recorded(house: House) -> None:
    known = under_way(house)
    challenge, sent = judging(known, nitrite="0.4")
    url = url_of(known, "judge-challenge", challenge.pk)

    opened = signed_in(house.mo).get(url).content.decode()
    looked = signed_in(house.mo).post(url, sent | {"look": "1"})

    assert "It would not pass" in opened
    assert "Nitrite at the end reads 0.4 mg/L as N, above 0.25 mg/L-N." in opened
    assert looked.status_code == 200
    assert "It would not pass" in looked.content.decode()
    assert not Verdict.objects.exists()


def test_a_verdict_is_recorded_as_it_was_shown(house: House) -> None:
    known = under_way(house)
    challenge, sent = judging(known)
    client = signed_in(house.mo)
    url = url_of(known, "judge-challenge", challenge.pk)

    assert "It would pass" in client.get(url).content.decode()
    assert client.post(url, sent).status_code == 303
    assert Verdict.objects.get().passed


def test_what_did_not_pass_may_be_judged_again_from_the_page_and_a_pass_may_not(
    house: House,
) -> None:
    known = under_way(house)
    challenge, sent = judging(known, nitrite="0.4")
    client = signed_in(house.mo)
    url = url_of(known, "judge-challenge", challenge.pk)
    page = reverse("tanks:cycle", args=[known.cycle.pk])

    client.post(url, sent)
    failed = client.get(page).content.decode()
    wrong = WithdrawEntry(
        id=uuid4(), model="tanks.reading", fact_id=UUID(sent["nitrite_id"]), reason="cuvette dirty"
    )
    withdraw_entry(wrong, by=house.mo, at=timezone.now())
    low = known.read("NITRITE", "<0.1", at=challenge.happened_at + 24 * HOUR)
    again = {**sent, "id": str(uuid4()), "nitrite_id": str(low.pk)}

    assert "Judge it again" in failed
    assert url in failed
    assert client.post(url, again).status_code == 303
    assert "Judge it" not in client.get(page).content.decode()
    refused = client.post(url, {**again, "id": str(uuid4())})
    assert refused.status_code == 422
    assert "correct or withdraw that reading or dose" in refused.content.decode()


def test_a_challenge_without_end_readings_says_what_is_missing(house: House) -> None:
    known = under_way(house)
    challenge = known.challenge(at=timezone.now() - 2 * HOUR)

    shown = signed_in(house.mo).get(url_of(known, "judge-challenge", challenge.pk))

    assert "A reading is still missing" in shown.content.decode()


def test_a_second_person_signs_with_their_password(house: House) -> None:
    known = proven_twice(house)

    opened = signed_in(house.vera).get(url_of(known, "sign-certificate")).content.decode()
    answer = signed(signed_in(house.vera), known)

    assert MEANING in opened
    assert "2 mg/L-N × 400 L / (1000 × 0.45 × 0.092) = 19.30 g/day" in opened
    assert answer.status_code == 303
    certificate = Certificate.objects.get()
    assert certificate.by == house.vera
    assert certificate.meaning == MEANING


def test_whoever_read_a_pass_is_shown_no_pen_and_cannot_sign(house: House) -> None:
    known = proven_twice(house)

    opened = signed_in(house.ana).get(url_of(known, "sign-certificate")).content.decode()
    answer = signed(signed_in(house.ana), known)

    assert "Whoever read a pass cannot sign for it" in opened
    assert 'type="password"' not in opened
    assert answer.status_code == 422
    assert not Certificate.objects.exists()


def test_a_wrong_password_signs_nothing(house: House) -> None:
    known = proven_twice(house)

    answer = signed(signed_in(house.vera), known, password="heron")

    assert answer.status_code == 422
    assert "This is not the password of Vera Lund" in answer.content.decode()
    assert not Certificate.objects.exists()


def test_after_ten_wrong_passwords_even_the_right_one_waits(house: House) -> None:
    known = proven_twice(house)
    for _ in range(10):
        signed(signed_in(house.vera), known, password="heron")

    answer = signed(signed_in(house.vera), known)

    assert answer.status_code == 422
    assert "Too many wrong passwords" in answer.content.decode()
    assert not Certificate.objects.exists()


def test_what_changed_since_it_was_shown_is_not_signed_for(house: House) -> None:
    known = proven_twice(house)

    answer = signed(signed_in(house.vera), known, meaning=MEANING.replace("19.3", "25"))

    assert answer.status_code == 422
    assert "The passes have changed since this page was opened" in answer.content.decode()
    assert not Certificate.objects.exists()


def test_nothing_proven_is_nothing_to_sign(house: House) -> None:
    known = under_way(house)

    shown = signed_in(house.vera).get(url_of(known, "sign-certificate")).content.decode()

    assert "No pass waits to be signed for." in shown
