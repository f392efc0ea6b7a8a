"""What work, alerts and loose ends can be about: the app that keeps the row says where it is."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A subject by the name people say; ``area_id`` is None for what lies in no one area.

    ``stands_for`` names the subject that work about it is done on, where that is another one.
    """

    name: str
    url: str
    area_id: UUID | None
    hygiene_rank: int
    site_id: UUID
    stands_for: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SubjectSource:
    """Rows of one ``table``, as the ledger names it: ``tanks.vessel``.

    ``places`` answers for many ids in a number of queries that does not grow with them; ids it
    does not know are left out. ``alike(id, at)`` gives every ledger key that counts as the
    same subject at that moment, the row's own included. ``at_site(site, at)`` lists what work
    may be about there, by id, as people say it.
    """

    name: str
    table: str
    places: Callable[[Collection[UUID]], Mapping[UUID, Place]]
    alike: Callable[[UUID, datetime], frozenset[str]]
    at_site: Callable[[UUID, datetime], Iterable[tuple[UUID, str]]] = lambda *_: ()


subject_sources: Final = Socket[SubjectSource]("subjects of work")


def place_of(about: str) -> Place | None:
    """Return where ``app.model:id`` is; None when no app knows it."""
    return places_of([about]).get(about)


def places_of(abouts: Collection[str]) -> dict[str, Place]:
    """Return where each subject is; what no app knows is left out."""
    wanted: dict[str, set[UUID]] = defaultdict(set)
    for about in abouts:
        table, key = _parted(about)
        if key is not None:
            wanted[table].add(key)
    return {
        f"{source.table}:{key}": place
        for source in subject_sources
        if source.table in wanted
        for key, place in source.places(wanted[source.table]).items()
    }


def alike(about: str, at: datetime) -> frozenset[str]:
    """Return every subject that counts as the same one at that moment: all of one water, say."""
    table, key = _parted(about)
    found = {about}
    for source in subject_sources:
        if source.table == table and key is not None:
            found |= source.alike(key, at)
    return frozenset(found)


def subjects_at(site_id: UUID, at: datetime) -> list[tuple[str, str]]:
    """Everything work may be about at a site: its ledger key and what people call it."""
    return [
        (f"{source.table}:{key}", label)
        for source in subject_sources
        for key, label in source.at_site(site_id, at)
    ]


def _parted(about: str) -> tuple[str, UUID | None]:
    table, _, key = about.partition(":")
    try:
        return table, UUID(key)
    except ValueError:
        return table, None
