"""What follows a committed ledger line: enqueue a job, and nothing else."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Any, Final

from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True)
class Aftermath:
    """``follow(kind, about, facts)`` runs after commit of a line whose kind is in ``of``."""

    name: str
    of: frozenset[str]
    follow: Callable[[str, str, dict[str, Any]], None]


aftermaths: Final = Socket[Aftermath]("aftermath of a ledger line")
_IS_QUIET: Final = ContextVar("is_quiet", default=False)


def following(kind: str) -> tuple[Aftermath, ...]:
    """What is to follow a line of this kind."""
    if _IS_QUIET.get():
        return ()
    return tuple(aftermath for aftermath in aftermaths if kind in aftermath.of)


@contextmanager
def nothing_follows() -> Iterator[None]:
    """For whoever writes a long history at once and sees to its consequences at the end."""
    token = _IS_QUIET.set(True)
    try:
        yield
    finally:
        _IS_QUIET.reset(token)
