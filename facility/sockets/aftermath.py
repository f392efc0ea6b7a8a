"""What follows a committed ledger line: enqueue a job, and nothing else."""

from collections.abc import Callable
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
