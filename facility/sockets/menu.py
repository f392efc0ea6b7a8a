from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from facility.sockets.socket import Socket


class Group(StrEnum):
    """What a line of the menu stands under; shown in this order, the first always open."""

    NOW = "Now"
    SHIFT = "The shift"
    WATER = "Tanks and water"
    ANIMALS = "Animals"
    SHELF = "Shelf and tools"
    PROOF = "Records"
    HOUSE = "The house"


@dataclass(frozen=True, slots=True, kw_only=True)
class MenuEntry:
    """One line of the menu. ``roles`` lists who sees it; empty means everybody signed in.

    ``url_name`` takes no arguments. Within their ``group`` entries are shown by ``order``, low
    first, then by label. Leaving an entry out hides nothing but the way: the page itself still
    asks who may see it.
    """

    name: str
    label: str
    url_name: str
    order: int
    roles: frozenset[str] = frozenset()
    group: Group = Group.HOUSE


menu: Final = Socket[MenuEntry]("The menu")
_PLACES: Final = {group: place for place, group in enumerate(Group)}


def entries_for(roles: Collection[str]) -> list[MenuEntry]:
    """Return what somebody with these roles finds in the menu, in the order shown."""
    seen = (entry for entry in menu if not entry.roles or not entry.roles.isdisjoint(roles))
    return sorted(seen, key=lambda one: (_PLACES[one.group], one.order, one.label, one.name))
