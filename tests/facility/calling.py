"""Builders of ways to reach people, and a receiver that listens on this machine."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any, Final
from uuid import uuid4

from facility.commands.channels import AddChannel, AddWebhook, add_channel, add_webhook
from facility.models import Channel, Person
from tests.cast import NOON, House

SECRET: Final = "a-secret-of-thirty-two-characters-or-more"


def an_address(house: House, **changes: Any) -> AddChannel:
    told: dict[str, Any] = {"name": "Post", "address": "ana@example.org"}
    return AddChannel(id=uuid4(), site_id=house.site.pk, **(told | changes))


def a_receiver(house: House, **changes: Any) -> AddWebhook:
    told: dict[str, Any] = {
        "name": "Building control",
        "url": "https://example.org/alerts",
        "secret": SECRET,
    }
    return AddWebhook(id=uuid4(), site_id=house.site.pk, **(told | changes))


def reached(house: House, person: Person, *, at: datetime = NOON, **changes: Any) -> Channel:
    """A person who gets e-mail at ``<username>@example.org``."""
    told = {"address": f"{person.username}@example.org"} | changes
    return add_channel(an_address(house, **told), by=person, at=at)


def received_at(house: House, url: str, *, at: datetime = NOON, **changes: Any) -> Channel:
    return add_webhook(a_receiver(house, url=url, **changes), by=house.mo, at=at)


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    path: str
    headers: dict[str, str]
    body: bytes


@dataclass(slots=True, kw_only=True)
class Receiver:
    """``answers`` are used up one by one; after the last, everything is taken with 200.

    ``pause`` holds an answer back until it is set.
    """

    url: str
    requests: list[Request] = field(default_factory=list)
    answers: list[int] = field(default_factory=list)
    pause: threading.Event = field(default_factory=threading.Event)

    def keys(self) -> list[str]:
        return [request.headers["Idempotency-Key"] for request in self.requests]


@contextmanager
def a_listener() -> Iterator[Receiver]:
    """A receiver over plain http on this machine; it answers at once unless told to pause."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), _Answering)
    receiver = Receiver(url=f"http://127.0.0.1:{server.server_port}/alerts?from=penstock")
    receiver.pause.set()
    server.receiver = receiver  # type: ignore[attr-defined]  # how the standard library hands it on
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield receiver
    finally:
        receiver.pause.set()
        server.shutdown()
        server.server_close()
        thread.join()


class _Answering(BaseHTTPRequestHandler):
    def do_POST(self) -> None:
        receiver: Receiver = self.server.receiver  # type: ignore[attr-defined]  # see above
        body = self.rfile.read(int(self.headers["Content-Length"]))
        receiver.requests.append(Request(path=self.path, headers=dict(self.headers), body=body))
        receiver.pause.wait(timeout=30)
        self.send_response(receiver.answers.pop(0) if receiver.answers else 200)
        self.send_header("Content-Length", "0")
        self.end_headers()

    def log_message(self, *_: object) -> None:
        """Tests say what matters."""
