from collections.abc import Collection
from dataclasses import dataclass
from typing import Final

from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True, kw_only=True)
class MenuEntry:
    """One line of the menu. ``roles`` lists who sees it; empty means everybody signed in.

    ``url_name`` takes no arguments. Entries are shown by ``order``, low first, then by label.
    Leaving an entry out hides nothing but the way: the page itself still asks who may see it.
    """

    name: str
    label: str
    url_name: str
    order: int
    roles: frozenset[str] = frozenset()


menu: Final = Socket[MenuEntry]("The menu")


def entries_for(roles: Collection[str]) -> list[MenuEntry]:
    """Return what somebody with these roles finds in the menu, in the order shown."""
    seen = (entry for entry in menu if not entry.roles or not entry.roles.isdisjoint(roles))
    return sorted(seen, key=lambda entry: (entry.order, entry.label, entry.name))
