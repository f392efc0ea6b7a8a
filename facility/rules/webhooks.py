"""Signed webhooks: what a receiver verifies, and where one may be sent. Pure.

The signature is HMAC-SHA256 (RFC 2104) over the timestamp, a full stop and the body as sent.
"""

import hashlib
import hmac
from ipaddress import IPv4Address, IPv6Address, ip_address
from typing import Final
from urllib.parse import urlsplit

SIGNATURE, TIMESTAMP, KEY = "Penstock-Signature", "Penstock-Timestamp", "Idempotency-Key"
Address = IPv4Address | IPv6Address

_SHAPE: Final = "Give a full address, such as https://example.org/alerts."
_SECURE: Final = (
    "Give an address with https; plain http is only for a machine on the site's own network."
)


def signature(*, secret: str, timestamp: int, body: bytes) -> str:
    """Hexadecimal digest; ``timestamp`` in seconds since 1970."""
    told = f"{timestamp}.".encode() + body
    return hmac.new(secret.encode(), told, hashlib.sha256).hexdigest()


def url_fault(url: str) -> str | None:
    """What is wrong with an address of a receiver as it is typed; None if nothing is."""
    try:
        parts = urlsplit(url)
        is_whole = parts.scheme in {"http", "https"} and parts.hostname and parts.port != 0
    except ValueError:
        return _SHAPE
    if not is_whole or not url.isascii() or not url.isprintable() or " " in url:
        return _SHAPE
    if parts.username or parts.password or parts.fragment:
        return "Leave name, password and the part after # out of the address."
    return _literal_fault(parts.scheme, str(parts.hostname))


def address_fault(scheme: str, address: Address, *, may_be_near: bool = True) -> str | None:
    """Why nothing is sent to this address; None if it may be.

    A machine's own directory services live at link-local addresses; nothing of ours does.
    """
    plain = getattr(address, "ipv4_mapped", None) or address
    if plain.is_link_local or plain.is_multicast or plain.is_unspecified:
        return f"{plain} is no address of a receiver."
    is_near = plain.is_private or plain.is_loopback
    if is_near and not may_be_near:
        return f"{plain} lies on a private network; a push server does not."
    return _SECURE if scheme == "http" and not is_near else None


def _literal_fault(scheme: str, host: str) -> str | None:
    try:
        return address_fault(scheme, ip_address(host))
    except ValueError:
        return None
