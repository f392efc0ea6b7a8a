"""Rows of the tanks in a few words, for pages that know nothing of tanks."""

from collections import defaultdict
from collections.abc import Collection
from uuid import UUID

from facility.sockets.telling import Key
from tanks.queries.entries import words_of


def entries_told(keys: Collection[Key]) -> dict[Key, str]:
    wanted: dict[str, set[UUID]] = defaultdict(set)
    for table, pk in keys:
        wanted[table].add(pk)
    return {
        (table, pk): words
        for table, ids in wanted.items()
        for pk, words in words_of(table, ids).items()
    }
