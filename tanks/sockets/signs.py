"""What higher apps see in a water besides its readings: it calls by the same alert."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final, TypeAlias
from uuid import UUID

from facility.rules.alerts import Seen
from facility.sockets.socket import Socket

# A water by its anchor, and the vessels it consists of.
Waters: TypeAlias = Mapping[UUID, Iterable[UUID]]


@dataclass(frozen=True, slots=True, kw_only=True)
class SignSource:
    """``signs(site_id, waters, at)`` gives by anchor what is seen in some of the waters now.

    It is asked for many waters at once, in a number of queries that does not grow with them.
    """

    name: str
    signs: Callable[[UUID, Waters, datetime], Mapping[UUID, Sequence[Seen]]]


sign_sources: Final = Socket[SignSource]("signs of a water")


def signs_in(site_id: UUID, waters: Waters, at: datetime) -> dict[UUID, list[Seen]]:
    """Return every sign of every source by the anchor of its water."""
    found: dict[UUID, list[Seen]] = {}
    for source in sign_sources:
        for anchor, seen in source.signs(site_id, waters, at).items():
            found.setdefault(anchor, []).extend(seen)
    return found
