"""What must not last: each app says which temporary states of its own are not put right yet."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True, kw_only=True)
class Loose:
    """One temporary state until it is put right, as told at the moment asked about.

    ``about`` names the subject as the ledger does; ``also`` the subjects it is shown on besides
    (the system whose valve is closed). ``return_url`` is the page where it is put right, and
    empty where none is; on ``later_url`` it gets more time. ``note`` says what waiting does: how
    far ammonia rises, say.
    """

    key: str
    kind: str
    what: str
    why: str
    owner_id: UUID
    owner_name: str
    since: datetime
    due_back_at: datetime
    about: str
    place: str
    hygiene_rank: int
    url: str
    return_url: str
    is_overdue: bool
    later_url: str = ""
    also: frozenset[str] = frozenset()
    note: str = ""

    @property
    def subjects(self) -> frozenset[str]:
        return self.also | {self.about}


@dataclass(frozen=True, slots=True, kw_only=True)
class LooseEndSource:
    """``loose(site_id, at)`` yields what is not put right at that moment."""

    name: str
    loose: Callable[[UUID, datetime], Iterable[Loose]]


loose_end_sources: Final = Socket[LooseEndSource]("loose ends")
