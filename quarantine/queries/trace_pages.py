"""A trace as its page tells it: where each place leads, and what hangs under what."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final
from uuid import UUID

from django.urls import reverse

from quarantine.queries.contacts import KIT, VESSEL
from quarantine.queries.tracing import SUBJECTS, Place, Stop, Traced
from quarantine.rules.carriers import carrier_of
from quarantine.rules.trace_drawing import Lane
from quarantine.rules.tracing import Direction, Kind

_PAGES: Final = {VESSEL: "tanks:tank", KIT: "quarantine:kit"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """``onward`` is the key to trace from there; empty where nothing can be."""

    stop: Stop
    url: str
    onward: str


def page_of(stop: Stop) -> Line:
    table = stop.place.key.partition(":")[0]
    return Line(stop=stop, url=_url(stop.place), onward=stop.place.key if table in SUBJECTS else "")


def lanes_of(found: Traced, letters: Mapping[Kind, str]) -> Iterator[Lane]:
    """A lane for each place, tied to the one it was first reached through."""
    is_forward = found.direction is Direction.FORWARD
    for stop in found.stops:
        nearest = stop.way[-1 if is_forward else 0] if stop.way else None
        parent = (nearest.source if is_forward else nearest.target) if nearest else ""
        yield Lane(
            key=stop.place.key,
            name=stop.place.name,
            at=stop.at,
            parent=carrier_of(parent),
            letter=letters[nearest.kind] if nearest else "",
            url=_url(stop.place),
        )


def _url(place: Place) -> str:
    table, _, key = place.key.partition(":")
    return reverse(_PAGES[table], args=[UUID(key)]) if table in _PAGES else ""
