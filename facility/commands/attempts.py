"""Failed sign-ins, counted per name for a while, known person or not."""

from datetime import timedelta
from hashlib import sha256
from typing import Final

from django.core.cache import cache

ALLOWED: Final = 10
WINDOW: Final = timedelta(minutes=10)


def too_many(name: str) -> bool:
    count: int = cache.get(_key(name), 0)
    return count >= ALLOWED


def note_failure(name: str) -> None:
    cache.add(_key(name), 0, timeout=int(WINDOW.total_seconds()))
    try:
        cache.incr(_key(name))
    except ValueError:  # the window closed between the two lines
        note_failure(name)


def forget(name: str) -> None:
    cache.delete(_key(name))


def _key(name: str) -> str:
    return f"failed-sign-ins:{sha256(name.casefold().encode()).hexdigest()}"
