"""The key pair by which push servers know this house (VAPID, RFC 8292); made once and kept."""

import os
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Final

from cryptography.hazmat.primitives.serialization import (
    Encoding,
    PublicFormat,
    load_pem_private_key,
)
from django.conf import settings
from webpush.vapid import VAPID

_READABLE_BY_US: Final = 0o600


@cache
def private_key() -> bytes:
    """PEM from the environment, or from the file that the first who needs it makes."""
    if settings.VAPID_PRIVATE_KEY:
        return str(settings.VAPID_PRIVATE_KEY).encode()
    return _kept(Path(settings.VAPID_FILE))


@cache
def public_key() -> bytes:
    key = load_pem_private_key(private_key(), password=None)
    return key.public_key().public_bytes(Encoding.PEM, PublicFormat.SubjectPublicKeyInfo)


def application_server_key() -> str:
    """What a browser is told when it subscribes: the uncompressed point, in base64url."""
    key = load_pem_private_key(private_key(), password=None)
    return str(VAPID.get_application_server_key(key.public_key()))


def _kept(path: Path) -> bytes:
    """Written aside and linked into place, so that of two who make one, one wins wholly."""
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        aside = path.with_suffix(f".{os.getpid()}")
        made: bytes = VAPID.generate_keys()[0]
        handle = os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, _READABLE_BY_US)
        with os.fdopen(handle, "wb") as file:
            file.write(made)
        with suppress(FileExistsError):
            os.link(aside, path)
        aside.unlink()
    return path.read_bytes()
