"""What waited on a phone is taken in its order, each once, whatever happens to one of them."""

from datetime import timedelta
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.test import Client
from django.utils import timezone
from rest_framework.test import APIClient

from facility.commands.handsets import RevokeHandset, revoke_handset
from facility.models import Entry, Sent
from facility.queries.handsets import hands_token
from tanks.models import Method, Reading, Vessel
from tests.cast import NOON, House
from tests.contracts.standing import plain
from tests.facility.shared_phones import TOKEN, entry, paired, pin_for, synced
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, sample, taken

pytestmark = pytest.mark.django_db


@pytest.fixture
def vessel(house: House) -> Vessel:
    return vessel_of(house)


@pytest.fixture
def method(house: House) -> Method:
    return kit(house, "TAN")


def reading(vessel: Vessel, method: Method, text: str = "0.5", **changes: Any) -> dict[str, Any]:
    """One sample with one reading, taken a while after the house was opened."""
    command = plain(sample(vessel, taken(method, text), at=NOON + timedelta(hours=1)))
    return entry("tanks.log-readings", command, **changes)


def answers(answer: Any) -> list[tuple[str, str]]:
    assert answer.status_code == 200, answer.content
    return [(one["answer"], one["says"]) for one in answer.json()["answers"]]


def test_entries_are_taken_in_order_and_kept_with_their_answers(
    house: House, vessel: Vessel, method: Method
) -> None:
    entries = [reading(vessel, method, text) for text in ("0.5", "0.6", "0.7")]

    told = synced(*entries, by=house.ana)

    assert answers(told) == [("saved", "")] * 3
    assert [one["id"] for one in told.json()["answers"]] == [one["id"] for one in entries]
    lines = Entry.objects.filter(kind="tanks.log-readings").order_by("number")
    assert [line.facts["rows"][0]["as_entered"] for line in lines] == ["0.5", "0.6", "0.7"]
    assert {sent.answer for sent in Sent.objects.all()} == {"SAVED"}
    assert {row.by for row in Reading.objects.all()} == {house.ana}


def test_a_lost_answer_is_given_again_and_nothing_is_done_twice(
    house: House, vessel: Vessel, method: Method
) -> None:
    entries = [reading(vessel, method), reading(vessel, method, "nonsense")]
    first = synced(*entries, by=house.ana)

    again = synced(*reversed(entries), *entries, by=house.ana)

    assert answers(again) == [*reversed(answers(first)), *answers(first)]
    assert (Reading.objects.count(), Sent.objects.count()) == (1, 2)


def test_the_same_id_saying_something_else_is_refused(
    house: House, vessel: Vessel, method: Method
) -> None:
    one = reading(vessel, method)
    synced(one, by=house.ana)
    command = one["command"] | {"happened_at": (NOON + timedelta(hours=2)).isoformat()}

    (told,) = answers(synced(one | {"command": command}, by=house.ana))

    assert told[0] == "refused"
    assert "saved before with other content" in told[1]
    assert Reading.objects.count() == 1


def test_one_that_is_refused_names_field_and_mend_and_stops_no_other(
    house: House, vessel: Vessel, method: Method
) -> None:
    unreadable, unknown, nowhere = reading(vessel, method), reading(vessel, method), uuid4()
    unreadable["command"]["readings"][0]["text"] = "x" * 400
    unknown["deed"] = "tanks.wish"
    stray = reading(vessel, method)
    stray["command"]["vessel_id"] = str(nowhere)

    told = synced(unreadable, unknown, stray, reading(vessel, method), by=house.ana)

    assert [answer for answer, _ in answers(told)] == ["refused"] * 3 + ["saved"]
    fields = [one["field"] for one in told.json()["answers"]]
    assert fields == ["readings.0.text", "deed", "", ""]
    assert answers(told)[2][1] == "There is no such tank or system here."
    assert Reading.objects.count() == 1


def test_a_surprise_asks_and_is_accepted_when_confirmed(
    house: House, vessel: Vessel, method: Method
) -> None:
    synced(reading(vessel, method, "0.1"), by=house.ana)
    odd = reading(vessel, method, "80")
    odd["command"]["happened_at"] = (NOON + timedelta(hours=2)).isoformat()
    told = synced(odd, by=house.ana).json()["answers"][0]
    fresh = str(uuid4())

    mended = odd["command"] | {"id": fresh, "confirmed": told["asks"]}
    again = synced(entry("tanks.log-readings", mended), by=house.ana)

    assert told["answer"] == "refused"
    assert told["asks"] == [odd["command"]["readings"][0]["id"]]
    # Asked for again, it asks the same again.
    assert synced(odd, by=house.ana).json()["answers"][0] == told
    assert answers(again) == [("saved", "")]
    assert Reading.objects.get(sample=fresh).surprise_confirmed


def test_what_was_refused_may_be_dropped_with_a_reason_that_is_kept(
    house: House, vessel: Vessel, method: Method
) -> None:
    refused, saved = reading(vessel, method, "nonsense"), reading(vessel, method)
    synced(refused, saved, by=house.ana)
    dropped = {"dropped": "Wrong tank."}

    for _ in range(2):
        told = answers(synced(refused | dropped, saved | dropped, by=house.ana))
        # What had been saved without the phone's hearing of it stays saved.
        assert told == [("dropped", "Dropped: Wrong tank."), ("saved", "")]

    assert Sent.objects.filter(sentence="Dropped: Wrong tank.").count() == 1
    assert Reading.objects.count() == 1


def test_a_moment_ahead_of_us_names_the_clock_of_a_phone_that_is_ahead(
    house: House, vessel: Vessel, method: Method
) -> None:
    ahead = timezone.now() + timedelta(minutes=20)
    entries = [reading(vessel, method), reading(vessel, method)]
    for one in entries:
        one["command"]["happened_at"] = ahead.isoformat()

    (told,) = answers(synced(entries[0], by=house.ana, ahead_s=20 * 60))
    (right,) = answers(synced(entries[1], by=house.ana))

    assert told == (
        "refused",
        (
            "This phone's clock is 20 min ahead of Penstock's: set the clock, "
            "then mend the time of this entry."
        ),
    )
    assert right[1] == "The time lies in the future; give the time when it happened."


def test_within_the_limits_the_phones_own_time_is_kept_and_the_skew_noted(
    house: House, vessel: Vessel, method: Method
) -> None:
    one = reading(vessel, method, made_at="2026-03-29T13:02:11.250Z")

    synced(one, by=house.ana, ahead_s=-200)

    sent = Sent.objects.get(pk=one["id"])
    assert sent.made_at.isoformat() == "2026-03-29T13:02:11.250000+00:00"
    assert sent.skew_s == pytest.approx(-200, abs=5)
    assert Reading.objects.get().happened_at == NOON + timedelta(hours=1)


def test_one_persons_entry_is_never_anothers(house: House, vessel: Vessel, method: Method) -> None:
    one = reading(vessel, method, person=str(house.mo.pk))

    (told,) = answers(synced(one, by=house.ana))
    (later,) = answers(synced(one, by=house.mo))

    assert told == ("waits", "Whoever made it must sign in on this device to send it.")
    assert later == ("saved", "")
    assert Reading.objects.get().by == house.mo


def test_a_shared_phone_sends_for_each_whose_hands_it_was_in(
    house: House, vessel: Vessel, method: Method
) -> None:
    handset = paired(house)
    people = (house.ana, house.mo)
    for person in people:
        pin_for(house, person)
    entries = [
        reading(vessel, method, person=str(one.pk), token=hands_token(handset, one))
        for one in people
    ]

    signed_out = synced(*entries, token=TOKEN)

    assert answers(signed_out) == [("saved", "")] * 2
    kept = Sent.objects.order_by("pk")
    assert {(sent.by, sent.handset, sent.site) for sent in kept} == {
        (person, handset, house.site) for person in people
    }
    assert {row.by for row in Reading.objects.all()} == set(people)


@pytest.mark.parametrize("way", ["forged", "anothers", "revoked", "no phone"])
def test_a_token_that_does_not_hold_leaves_the_entry_waiting(
    way: str, house: House, vessel: Vessel, method: Method
) -> None:
    handset = paired(house)
    pin_for(house, house.ana)
    token = hands_token(handset, house.mo if way == "anothers" else house.ana)
    if way == "revoked":
        pin_for(house, house.ana, "90210", at=NOON + timedelta(days=1))
    one = reading(
        vessel, method, person=str(house.ana.pk), token=f"{token}x" if way == "forged" else token
    )

    told = synced(one, by=house.mo, token="" if way == "no phone" else TOKEN)

    assert [answer for answer, _ in answers(told)] == ["waits"]
    assert not Reading.objects.exists()
    # Nothing is lost: she signs in with her password.
    assert answers(synced(one, by=house.ana)) == [("saved", "")]


def test_a_revoked_phone_without_anybody_signed_in_is_a_stranger(house: House) -> None:
    handset = paired(house)
    revoke_handset(RevokeHandset(handset_id=handset.pk), by=house.mo, at=NOON)

    assert synced(token=TOKEN).status_code in {401, 403}
    assert synced().status_code in {401, 403}


def test_a_session_needs_the_pages_own_key_as_everywhere(house: House) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(house.ana)
    body = {"device_now": timezone.now().isoformat(), "entries": []}

    answer = client.post("/api/sync/", body, content_type="application/json")

    assert answer.status_code == 403


def test_what_needs_a_signature_or_a_secret_is_refused_and_not_kept(house: House) -> None:
    pin = {"id": str(uuid4()), "site_id": str(house.site.pk), "pin": "7294"}
    signed = {"id": str(uuid4()), "cycle_id": str(uuid4()), "meaning": "I certify."}

    told = synced(
        entry("facility.set-pin", pin), entry("tanks.sign-certificate", signed), by=house.mo
    )

    assert (
        answers(told)
        == [("refused", "This needs the person and signal at once; do it on its page.")] * 2
    )
    assert not Sent.objects.filter(deed="facility.set-pin").exists()


def test_a_fault_of_ours_leaves_that_entry_waiting_and_takes_the_rest(
    house: House, vessel: Vessel, method: Method, monkeypatch: pytest.MonkeyPatch
) -> None:
    entries = [reading(vessel, method, text) for text in ("0.5", "0.6")]
    struck = UUID(entries[0]["id"])

    def strike(model: type[Reading], rows: Any) -> Any:
        if rows[0].sample == struck:
            raise OSError("the disk is gone")
        return first(rows)

    first = Reading.objects.bulk_create
    with monkeypatch.context() as patch:
        patch.setattr(type(Reading.objects), "bulk_create", strike)
        told = synced(*entries, by=house.ana)

    assert [answer for answer, _ in answers(told)] == ["waits", "saved"]
    assert answers(synced(*entries, by=house.ana)) == [("saved", "")] * 2
    assert Reading.objects.count() == 2


@pytest.mark.parametrize(
    "body",
    [
        {},
        {"device_now": "yesterday", "entries": []},
        {"device_now": "2026-03-29T13:00:00Z", "entries": [{"id": "x"}]},
        {"device_now": "2026-03-29T13:00:00Z", "entries": [{}] * 501},
        [],
    ],
)
def test_a_body_that_cannot_be_read_is_told_so(body: Any, house: House) -> None:
    client = APIClient()
    client.force_authenticate(house.ana)

    answer = client.post("/api/sync/", body, format="json")

    assert answer.status_code == 400
    assert not Sent.objects.exists()
