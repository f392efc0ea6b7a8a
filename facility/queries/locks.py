"""One job at a time, across all processes: PostgreSQL's advisory locks."""

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection


@contextmanager
def one_at_a_time(name: str) -> Iterator[None]:
    """Wait until nobody else holds ``name``, then hold it; a connection that dies lets go."""
    key = int.from_bytes(hashlib.sha256(name.encode()).digest()[:8], signed=True)
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_lock(%s)", [key])
    try:
        yield
    finally:
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_advisory_unlock(%s)", [key])
