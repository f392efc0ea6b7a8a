"""What waits is sent, tried again with growing pauses, marked or given up where people see it."""

import hashlib
import hmac
import json
import threading
from collections.abc import Iterator
from datetime import timedelta
from typing import Final
from uuid import UUID

import pytest
from django.core import mail
from django.db import connection

from facility import jobs
from facility.commands.alerts import AcceptAlert, accept_alert, raise_alert
from facility.commands.channels import EndChannel, end_channel
from facility.commands.sending import send_next, try_channel
from facility.models import Channel, Notice
from tests.cast import NOON, House
from tests.facility.alerting import a_sign, cleared, raised, told_of
from tests.facility.calling import SECRET, Receiver, a_listener, reached, received_at
from tests.tanks.estate import vessel_of

MINUTE: Final = timedelta(minutes=1)


@pytest.fixture
def receiver() -> Iterator[Receiver]:
    with a_listener() as listening:
        yield listening


def test_a_receiver_can_verify_what_it_gets_by_the_standard_library_alone(
    house: House, receiver: Receiver
) -> None:
    received_at(house, receiver.url)
    alert = raised(house, a_sign(level=1))

    notice = send_next(at=NOON + MINUTE)

    assert notice is not None
    assert notice.delivered_at == NOON + MINUTE
    (request,) = receiver.requests
    stamp = request.headers["Penstock-Timestamp"]
    expected = hmac.new(
        SECRET.encode(), stamp.encode() + b"." + request.body, hashlib.sha256
    ).hexdigest()
    assert hmac.compare_digest(request.headers["Penstock-Signature"], expected)
    assert int(stamp) == int((NOON + MINUTE).timestamp())
    assert request.path == "/alerts?from=penstock"
    told = json.loads(request.body)
    assert (told["alert"], told["level"], told["step"]) == (str(alert.pk), 1, "raised")
    assert told["id"] == request.headers["Idempotency-Key"] == str(notice.pk)
    assert send_next(at=NOON + MINUTE) is None


def test_what_fails_is_tried_again_after_1_2_5_15_and_60_minutes_and_then_given_up(
    house: House, receiver: Receiver
) -> None:
    received_at(house, receiver.url)
    raised(house)
    receiver.answers = [500] * 9
    at, pauses = NOON, []

    while (notice := send_next(at=at)) and notice.next_try_at:
        assert send_next(at=notice.next_try_at - timedelta(seconds=1)) is None
        pauses.append((notice.next_try_at - at) // MINUTE)
        at = notice.next_try_at

    assert pauses == [1, 2, 5, 15, 60]
    kept = Notice.objects.get()
    assert (kept.tries, kept.delivered_at, kept.given_up_at) == (6, None, at)
    assert kept.last_fault == "127.0.0.1 answered 500."
    assert len(set(receiver.keys())) == 1
    assert len(receiver.requests) == 6


def test_the_second_try_delivers_under_the_same_key(house: House, receiver: Receiver) -> None:
    received_at(house, receiver.url)
    raised(house)
    receiver.answers = [503]

    send_next(at=NOON)
    again = send_next(at=NOON + MINUTE)

    assert again is not None
    assert again.delivered_at == NOON + MINUTE
    assert receiver.keys() == [str(again.pk)] * 2


@pytest.mark.parametrize("answer", [301, 302, 404, 410])
def test_a_receiver_that_sends_elsewhere_or_is_gone_took_nothing(
    house: House, receiver: Receiver, answer: int
) -> None:
    received_at(house, receiver.url)
    raised(house)
    receiver.answers = [answer]

    notice = send_next(at=NOON)

    assert notice is not None
    assert notice.delivered_at is None
    assert (notice.given_up_at is not None) == (answer in {404, 410})
    assert len(receiver.requests) == 1


def test_nobody_listening_is_a_sentence(house: House) -> None:
    with a_listener() as gone:
        url = gone.url
    received_at(house, url)
    raised(house)

    notice = send_next(at=NOON)

    assert notice is not None
    assert notice.last_fault.startswith("127.0.0.1 was not reached: ")


def test_a_name_that_leads_off_the_site_gets_nothing_over_plain_http(
    house: House, receiver: Receiver, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The name looked harmless when it was typed; what it stands for is looked at on sending."""
    received_at(house, "http://siren.local/hook")
    raised(house)
    found = [(2, 1, 6, "", ("169.254.169.254", 80))]
    monkeypatch.setattr("socket.getaddrinfo", lambda *_, **__: found)

    notice = send_next(at=NOON)

    assert notice is not None
    assert notice.given_up_at == NOON
    assert "no address of a receiver" in notice.last_fault


def test_mail_carries_the_message_its_link_and_the_same_id_each_time(house: House) -> None:
    reached(house, house.mo)
    alert = raised(house, a_sign(level=1))

    notice = send_next(at=NOON)

    assert notice is not None
    (message,) = mail.outbox
    assert message.to == ["mo@example.org"]
    assert message.subject == "Act now: A-01"
    assert f"/alerts/{alert.pk}/" in message.body
    assert message.message()["Message-ID"] == f"<{notice.pk}@penstock.invalid>"


def test_people_are_not_called_for_what_is_over_but_machines_are_told(
    house: House, receiver: Receiver
) -> None:
    reached(house, house.mo)
    received_at(house, receiver.url)
    cleared(house, raised(house), at=NOON + MINUTE)

    while send_next(at=NOON + MINUTE):
        pass

    assert mail.outbox == []
    assert [json.loads(one.body)["step"] for one in receiver.requests] == ["raised", "cleared"]
    assert "cleared before" in Notice.objects.get(channel__kind="EMAIL").last_fault


def test_people_are_not_called_for_what_somebody_has_accepted(house: House) -> None:
    reached(house, house.mo)
    alert = raised(house)
    accept_alert(AcceptAlert(alert_id=alert.pk), by=house.ana, at=NOON + MINUTE)

    send_next(at=NOON + MINUTE)

    assert mail.outbox == []
    assert "accepted the alert before" in Notice.objects.get().last_fault


def test_an_ended_channel_carries_nothing_more(house: House) -> None:
    channel = reached(house, house.mo)
    raised(house)
    end_channel(EndChannel(channel_id=channel.pk), by=house.mo, at=NOON)

    send_next(at=NOON)

    assert mail.outbox == []


def test_a_run_goes_on_past_a_receiver_that_fails(house: House, receiver: Receiver) -> None:
    """One failing receiver is asked once a run and keeps nobody's mail waiting."""
    received_at(house, receiver.url)
    reached(house, house.mo)
    receiver.answers = [500] * 9
    for code in ("A-01", "A-02"):
        tank = vessel_of(house, code=code)
        raise_alert(told_of(house, a_sign(level=1), vessel=tank), by=None, at=NOON)

    jobs.send_notices()

    assert len(mail.outbox) == 2
    assert len(receiver.requests) == 1


def test_a_trial_says_what_went_wrong(house: House, receiver: Receiver) -> None:
    channel = received_at(house, receiver.url)
    receiver.answers = [500]

    assert try_channel(channel, at=NOON) == "127.0.0.1 answered 500."
    assert try_channel(channel, at=NOON) == ""
    assert not Notice.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_two_senders_at_once_share_the_work(house: House, receiver: Receiver) -> None:
    channels = [received_at(house, receiver.url, name=f"Machine {i}") for i in range(6)]
    raised(house)
    sent: list[list[UUID]] = [[], []]

    senders = [threading.Thread(target=_send_all, args=(mine,)) for mine in sent]
    receiver.pause.clear()
    for sender in senders:
        sender.start()
    receiver.pause.set()
    for sender in senders:
        sender.join(timeout=30)

    assert len(receiver.keys()) == len(set(receiver.keys())) == len(channels)
    assert len(sent[0]) + len(sent[1]) == len(channels)
    assert not Notice.objects.filter(delivered_at=None).exists()
    assert Channel.objects.count() == len(channels)


def _send_all(sent: list[UUID]) -> None:
    try:
        while notice := send_next(at=NOON):
            sent.append(notice.pk)
    finally:
        connection.close()
