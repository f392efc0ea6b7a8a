"""Mail over a real socket, as RFC 5321 has it; a server that refuses leaves a sentence."""

import socketserver
import threading
from collections.abc import Iterator
from contextlib import contextmanager

from django.conf import LazySettings

from facility.commands.sending import send_next
from facility.models import Notice
from tests.cast import NOON, House
from tests.facility.alerting import raised
from tests.facility.calling import reached


class _Mailbox(socketserver.ThreadingTCPServer):
    """Takes mail, or answers every recipient with ``refusal``."""

    allow_reuse_address = True

    def __init__(self, refusal: str = "") -> None:
        super().__init__(("127.0.0.1", 0), _Talking)
        self.refusal, self.kept = refusal, list[str]()


class _Talking(socketserver.StreamRequestHandler):
    server: _Mailbox

    def handle(self) -> None:
        self._say("220 here")
        for line in iter(self.rfile.readline, b""):
            verb = line[:4].upper()
            if verb == b"QUIT":
                return self._say("221 bye")
            if verb == b"RCPT" and self.server.refusal:
                self._say(self.server.refusal)
            elif verb == b"DATA":
                self._say("354 go on")
                self.server.kept.append(self._message())
                self._say("250 kept")
            else:
                self._say("250 here")
        return None

    def _message(self) -> str:
        lines = iter(self.rfile.readline, b".\r\n")
        return b"".join(lines).decode()

    def _say(self, words: str) -> None:
        self.wfile.write(f"{words}\r\n".encode())


@contextmanager
def _mailbox(settings: LazySettings, refusal: str = "") -> Iterator[_Mailbox]:
    with _Mailbox(refusal) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
        settings.EMAIL_HOST, settings.EMAIL_PORT = server.server_address[:2]
        yield server
        server.shutdown()


def test_a_message_arrives(house: House, settings: LazySettings) -> None:
    reached(house, house.mo)
    raised(house)

    with _mailbox(settings) as box:
        notice = send_next(at=NOON)

    assert notice is not None
    assert notice.delivered_at == NOON
    (message,) = box.kept
    assert "To: mo@example.org" in message
    assert "Subject: Today: A-01" in message
    assert f"Message-ID: <{notice.pk}@penstock.invalid>" in message


def test_a_refusal_is_a_sentence_and_tried_again(house: House, settings: LazySettings) -> None:
    reached(house, house.mo)
    raised(house)

    with _mailbox(settings, "450 4.2.1 try later"):
        send_next(at=NOON)

    notice = Notice.objects.get()
    assert notice.delivered_at is None
    assert notice.next_try_at is not None
    assert "try later" in notice.last_fault


def test_no_server_at_all_is_a_sentence(house: House, settings: LazySettings) -> None:
    reached(house, house.mo)
    raised(house)
    with _mailbox(settings):
        pass

    send_next(at=NOON)

    assert Notice.objects.get().last_fault.startswith("The mail server did not take it")
