"""Which vessels share water, and when: a graph over time. Pure."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """``vessel`` stands open to ``system`` from ``since`` until before ``until``."""

    vessel: UUID
    system: UUID
    since: datetime
    until: datetime | None = None

    def holds_at(self, at: datetime) -> bool:
        return self.since <= at and (self.until is None or at < self.until)


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """``members`` shared one water from ``since`` until before ``until``."""

    members: frozenset[UUID]
    since: datetime
    until: datetime | None


def waters_at(
    vessels: Iterable[UUID], openings: Iterable[Opening], *, at: datetime
) -> list[frozenset[UUID]]:
    """Split ``vessels`` into the waters of that moment: the connected parts of the graph."""
    group = {vessel: frozenset([vessel]) for vessel in vessels}
    for opening in openings:
        if opening.holds_at(at):
            _join(group, opening.vessel, opening.system)
    return list(dict.fromkeys(group.values()))


def members_at(vessel: UUID, openings: Iterable[Opening], *, at: datetime) -> frozenset[UUID]:
    """Return every vessel whose water mixes with that of ``vessel``, itself included."""
    waters = waters_at([vessel], openings, at=at)
    return next(members for members in waters if vessel in members)


def spans(
    vessel: UUID, openings: Iterable[Opening], *, since: datetime, until: datetime
) -> Iterator[Span]:
    """Yield with whom ``vessel`` shared water, in order; neighbours always differ."""
    openings = tuple(openings)
    moments = [since, *_turns(openings, since, until), until]
    begun, members = since, members_at(vessel, openings, at=since)
    for moment in moments[1:-1]:
        now = members_at(vessel, openings, at=moment)
        if now != members:
            yield Span(members=members, since=begun, until=moment)
            begun, members = moment, now
    yield Span(members=members, since=begun, until=until)


def together(openings: Iterable[Opening]) -> dict[UUID, tuple[Opening, ...]]:
    """For each vessel, the openings that can bear on its water at any time: usually a few."""
    openings = tuple(openings)
    group: dict[UUID, frozenset[UUID]] = {}
    for opening in openings:
        _join(group, opening.vessel, opening.system)
    bearing: dict[frozenset[UUID], list[Opening]] = {}
    for opening in openings:
        bearing.setdefault(group[opening.vessel], []).append(opening)
    return {vessel: tuple(bearing[members]) for vessel, members in group.items()}


def net_litres(
    members: Iterable[UUID], litres: Mapping[UUID, float]
) -> tuple[float, frozenset[UUID]]:
    """Sum what is known; also return the members whose volume nobody has measured."""
    members = frozenset(members)
    known = members & litres.keys()
    return sum(litres[member] for member in known), members - known


def _join(group: dict[UUID, frozenset[UUID]], one: UUID, other: UUID) -> None:
    joined = group.get(one, frozenset([one])) | group.get(other, frozenset([other]))
    for member in joined:
        group[member] = joined


def _turns(openings: Iterable[Opening], since: datetime, until: datetime) -> list[datetime]:
    moments = {opening.since for opening in openings}
    moments |= {opening.until for opening in openings if opening.until is not None}
    return sorted(moment for moment in moments if since < moment < until)
