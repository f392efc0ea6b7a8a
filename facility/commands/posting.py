"""A message on its way: by e-mail, to a phone's push server, or to a receiver of the site."""

import socket
import ssl
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from http.client import HTTPConnection, HTTPException, HTTPSConnection
from ipaddress import ip_address
from threading import Timer
from typing import Final
from urllib.parse import SplitResult, urlsplit

from facility.rules.webhooks import address_fault

_PATIENCE_S: Final = 8
_WHOLE_S: Final = 15


class NotDelivered(Exception):  # noqa: N818 - a sentence for a person
    """Why it did not arrive; ``is_final`` when no further try can help."""

    def __init__(self, sentence: str, *, is_final: bool = False) -> None:
        super().__init__(sentence)
        self.is_final = is_final


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """What is posted; a push server lies on the internet, a receiver may be near."""

    url: str
    body: bytes
    headers: Mapping[str, str]
    may_be_near: bool = True


def post(letter: Letter) -> None:
    """Post once and follow nowhere; any 2xx says that it was taken.

    Raises:
        NotDelivered
    """
    parts = urlsplit(letter.url)
    try:
        status = _answer_of(_connection(parts, letter), parts, letter)
    except (OSError, HTTPException, ValueError) as fault:
        raise NotDelivered(f"{parts.hostname} was not reached: {fault}") from fault
    if not 200 <= status < 300:  # noqa: PLR2004 - RFC 9110, 15.3
        raise NotDelivered(f"{parts.hostname} answered {status}.", is_final=status in {404, 410})


def _connection(parts: SplitResult, letter: Letter) -> HTTPConnection:
    """Connect to an address that was looked at; https proves its name, http must be near."""
    host, port = str(parts.hostname), parts.port or (443 if parts.scheme == "https" else 80)
    address = _address(host, port, parts.scheme, may_be_near=letter.may_be_near)
    if parts.scheme == "https":
        return HTTPSConnection(
            host, port, timeout=_PATIENCE_S, context=ssl.create_default_context()
        )
    return HTTPConnection(address, port, timeout=_PATIENCE_S)


def _address(host: str, port: int, scheme: str, *, may_be_near: bool) -> str:
    found = [str(row[4][0]) for row in socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)]
    for each in found:
        plain = ip_address(each.partition("%")[0])
        if fault := address_fault(scheme, plain, may_be_near=may_be_near):
            raise NotDelivered(fault, is_final=True)
    return found[0]


def _answer_of(connection: HTTPConnection, parts: SplitResult, letter: Letter) -> int:
    path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    connection.connect()
    # A receiver that answers byte by byte would never let the time limit of one read pass.
    limit = Timer(_WHOLE_S, _cut, [connection.sock])
    limit.daemon = True
    limit.start()
    try:
        connection.request("POST", path, letter.body, {"Host": parts.netloc, **letter.headers})
        return connection.getresponse().status
    finally:
        limit.cancel()
        connection.close()


def _cut(sock: socket.socket) -> None:
    with suppress(OSError):
        sock.shutdown(socket.SHUT_RDWR)
