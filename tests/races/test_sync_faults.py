"""Ten thousand entries from phones whose requests are doubled, reordered and cut: each kept once.

Two phones at two sites send to the real server, which is killed once in the midst of it.
"""

import json
import random
import socket
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from functools import partial
from http.client import HTTPConnection, HTTPException
from typing import Any, Final
from uuid import UUID, uuid4

import pytest
from django.conf import settings
from django.test import Client
from django.utils import timezone

from deploy.addresses import Addresses
from deploy.processes import wait_until
from facility.commands.breaks import TakeBreak
from facility.commands.places import OpenSite, open_site
from facility.models import Entry, HygieneBreak, Person, Sent, Site
from facility.queries.proof import first_breach
from tests.cast import NOON, House
from tests.contracts.standing import plain
from tests.facility.shared_phones import entry
from tests.races.serving import Serving, serving

ALL: Final = 10_000
IN_A_REQUEST: Final = 200
CSRF: Final = "c" * 32


@dataclass
class Phone:
    """Sends what it has not heard of yet, again and again, over a line that breaks."""

    server: Serving
    session: str
    waiting: dict[UUID, dict[str, Any]]
    chance: random.Random
    cut: int = 0
    doubled: int = 0
    answers: set[str] = field(default_factory=set)

    def send_all(self) -> None:
        while self.waiting:
            for batch in self._batches():
                self._send_somehow(batch)

    def _batches(self) -> Iterator[list[dict[str, Any]]]:
        """In any order, and what went before among what comes after."""
        ids = list(self.waiting)
        self.chance.shuffle(ids)
        for first in range(0, len(ids), IN_A_REQUEST):
            batch = [self.waiting[one] for one in ids[first : first + IN_A_REQUEST]]
            yield batch + self.chance.sample(batch, len(batch) // 10)

    def _send_somehow(self, batch: list[dict[str, Any]]) -> None:
        body = json.dumps({"device_now": timezone.now().isoformat(), "entries": batch}).encode()
        match self.chance.choice(["whole", "whole", "twice", "half", "unheard"]):
            case "half":
                self._cut(body, sent=len(body) // 2)
            case "unheard":
                self._cut(body, sent=len(body))
            case "twice":
                self.doubled += 1
                with ThreadPoolExecutor(2) as threads:
                    list(threads.map(self._post, [body, body]))
            case _:
                self._post(body)

    def _post(self, body: bytes) -> None:
        web = HTTPConnection("localhost", self.server.port, timeout=120)
        try:
            web.request("POST", "/api/sync/", body, self._headers())
            answer = web.getresponse()
            told = json.loads(answer.read()) if answer.status == 200 else {"answers": []}
        except (OSError, HTTPException, ValueError):
            return
        finally:
            web.close()
        for one in told["answers"]:
            self.answers.add(one["answer"])
            if one["answer"] == "saved":
                self.waiting.pop(UUID(one["id"]), None)

    def _cut(self, body: bytes, *, sent: int) -> None:
        """Hang up before the request is whole, or before its answer is heard."""
        self.cut += 1
        lines = [f"{name}: {value}" for name, value in self._headers().items()]
        head = ["POST /api/sync/ HTTP/1.1", *lines, f"Content-Length: {len(body)}", "", ""]
        try:
            with socket.create_connection(("localhost", self.server.port), timeout=10) as line:
                line.sendall("\r\n".join(head).encode() + body[:sent])
        except OSError:
            return

    def _headers(self) -> dict[str, str]:
        session = f"{settings.SESSION_COOKIE_NAME}={self.session}"
        return {
            "Host": f"localhost:{self.server.port}",
            "Content-Type": "application/json",
            "Cookie": f"{session}; csrftoken={CSRF}",
            "X-CSRFToken": CSRF,
        }


@pytest.mark.django_db(transaction=True)
def test_ten_thousand_entries_are_each_kept_once(own_servers: Addresses, house: House) -> None:
    command = OpenSite(id=uuid4(), name="Low Mill", time_zone="Europe/Lisbon", jurisdiction="PT")
    sites = {house.mo: house.site, house.bo: open_site(command, by=house.bo, at=NOON)}
    with serving(own_servers) as server:
        phones = [phone_of(server, person, site) for person, site in sites.items()]
        wanted = {one for phone in phones for one in phone.waiting}
        with ThreadPoolExecutor(len(phones) + 1) as threads:
            sending = [threads.submit(phone.send_all) for phone in phones]
            threads.submit(partial(killed_once, server, phones)).result()
            for one in sending:
                one.result()

    assert all(phone.cut and phone.doubled for phone in phones)
    # Two requests with one entry may meet in the database; then one waits and is asked for again.
    assert {answer for phone in phones for answer in phone.answers} <= {"saved", "waits"}
    assert len(wanted) == ALL
    assert set(HygieneBreak.objects.values_list("pk", flat=True)) == wanted
    assert set(Sent.objects.filter(answer="SAVED").values_list("pk", flat=True)) == wanted
    assert Entry.objects.filter(kind="facility.take-break").count() == ALL
    assert [first_breach(site) for site in sites.values()] == [None, None]


def phone_of(server: Serving, person: Person, site: Site) -> Phone:
    signed = Client()
    signed.force_login(person)
    entries = [a_break(site) for _ in range(ALL // 2)]
    return Phone(
        server=server,
        session=signed.cookies[settings.SESSION_COOKIE_NAME].value,
        waiting={UUID(one["id"]): one for one in entries},
        chance=random.Random(str(person)),  # noqa: S311  chance, not secrecy
    )


def a_break(site: Site) -> dict[str, Any]:
    command = TakeBreak(
        id=uuid4(),
        site_id=site.pk,
        from_rank=5,
        to_rank=2,
        kit_changed=True,
        hands_disinfected=True,
        happened_at=NOON,
    )
    return entry("facility.take-break", plain(command))


def killed_once(server: Serving, phones: list[Phone]) -> None:
    """In the midst of it."""
    begun = ALL * 2 // 3
    assert wait_until(lambda: _left(phones) < begun, seconds=300, poll_s=0.1)
    server.kill()
    server.start()


def _left(phones: list[Phone]) -> int:
    return sum(len(phone.waiting) for phone in phones)
