"""What people may ask the house to remember: one deed for each command."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

from facility.sockets.socket import Socket

MANAGER, STAFF, AUDITOR, VETERINARIAN = "MANAGER", "STAFF", "AUDITOR", "VETERINARIAN"
KEEPERS: Final = frozenset({MANAGER, STAFF})
MANAGERS: Final = frozenset({MANAGER})
SIGNERS: Final = frozenset({MANAGER, STAFF, VETERINARIAN})


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """``give(command, by=person, at=moment)`` carries out a ``command`` dataclass.

    ``roles`` may ask for it. ``says`` is the ledger's words for people, in the past tense.
    A signature is given with the password, however long ago its signer signed in. What is done
    hands-on is done at the tank, with kit: it takes part in the order from clean to dirty.
    """

    name: str
    command: type
    give: Callable[..., Any]
    roles: frozenset[str]
    says: str
    is_signature: bool = False
    is_hands_on: bool = False


deeds: Final = Socket[Deed]("deeds")
