"""Several callers at the same instant, each with a database connection of its own."""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from typing import TypeVar

from django.db import connection

Answer = TypeVar("Answer")


def at_once(calls: Sequence[Callable[[], Answer]]) -> list[Answer]:
    """Return what each call returned; they set off together when the last is ready."""
    start = Barrier(len(calls), timeout=30)

    def run(call: Callable[[], Answer]) -> Answer:
        try:
            connection.ensure_connection()
            start.wait()
            return call()
        finally:
            connection.close()

    with ThreadPoolExecutor(len(calls)) as threads:
        return list(threads.map(run, calls))
