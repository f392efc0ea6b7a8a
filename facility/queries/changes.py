"""What changed at a site between two moments, subject by subject, in words."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from facility.models import Entry, Person, Site
from facility.queries.ledger import subject_names
from facility.sockets.deeds import deeds
from facility.sockets.subjects import Place, places_of
from facility.sockets.telling import Key, words_for

_MOST: Final = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One line of the ledger; ``told`` is what its rows say, where an app can tell."""

    at: datetime
    by: Person | None
    says: str
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """All that befell one tank, area or other subject, latest first."""

    about: str
    name: str
    place: Place | None
    changes: tuple[Change, ...]


def changes(site: Site, *, since: datetime, until: datetime) -> tuple[list[Subject], bool]:
    """Return subjects with what was recorded of them; the second is whether more is in the ledger.

    The number of queries does not grow with the lines. Those of the house itself, such as
    forecasts it keeps, are left out.
    """
    lines = Entry.objects.filter(site=site, recorded_at__gte=since, recorded_at__lte=until)
    rows = list(lines.exclude(by=None).select_related("by").order_by("-number")[: _MOST + 1])
    return _subjects(rows[:_MOST]), len(rows) > _MOST


def _subjects(entries: list[Entry]) -> list[Subject]:
    places = places_of({entry.about for entry in entries})
    names = subject_names(entries)
    words = words_for({key for entry in entries for key in _keys(entry.facts)})
    by_subject: dict[str, list[Change]] = {}
    for entry in entries:
        by_subject.setdefault(entry.about, []).append(_change(entry, words))
    return [
        Subject(
            about=about,
            name=places[about].name if about in places else names.get(about, about),
            place=places.get(about),
            changes=tuple(found),
        )
        for about, found in by_subject.items()
    ]


def _change(entry: Entry, words: Mapping[Key, str]) -> Change:
    told = (words[key] for key in _keys(entry.facts) if key in words)
    says = deeds[entry.kind].says if entry.kind in deeds else f"did {entry.kind}"
    return Change(at=entry.happened_at, by=entry.by, says=says, told="; ".join(told))


def _keys(facts: Mapping[str, Any]) -> Iterable[Key]:
    for row in facts.get("rows", ()):
        if "id" in row and "model" in row:
            try:
                yield row["model"], UUID(str(row["id"]))
            except ValueError:
                continue
