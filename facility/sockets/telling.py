"""What a row of the ledger says in a few words, told by the app that keeps its table."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import Final, TypeAlias
from uuid import UUID

from facility.sockets.socket import Socket

# A table as the ledger names it, and a row of it.
Key: TypeAlias = tuple[str, UUID]


@dataclass(frozen=True, slots=True, kw_only=True)
class Teller:
    """``tell(keys)`` gives words for those rows it knows, in a fixed number of queries."""

    name: str
    tell: Callable[[Collection[Key]], Mapping[Key, str]]


tellers: Final = Socket[Teller]("words for rows")


def words_for(keys: Collection[Key]) -> dict[Key, str]:
    """Return what is known of these rows; what no app tells is left out."""
    found: dict[Key, str] = {}
    for teller in tellers:
        found |= teller.tell(keys)
    return found
