"""A trace at a site, from a tank, a lot, a kit, a person or a consignment, with its evidence."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from django.db.models import Q

from facility.models import Person, Site
from quarantine.models import Consignment, CountChange, Kit, Lot
from quarantine.queries.books import posting
from quarantine.queries.contacts import (
    CONSIGNMENT,
    GONE,
    KIT,
    OUTSIDE,
    PERSON,
    VESSEL,
    Contacts,
    contacts_at,
)
from quarantine.rules.carriers import Presence, carrier_of, presences
from quarantine.rules.tracing import Direction, Edge, Kind, Trace, carrying, stopped, trace
from tanks.models import Vessel

LOT: Final = "quarantine.lot"
SUBJECTS: Final = (VESSEL, LOT, KIT, PERSON, CONSIGNMENT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A node as people say it; ``what`` is its kind in a word."""

    key: str
    what: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One place that was reached, when, and by which edges it was reached first.

    ``contacts`` counts every edge that could have carried something there.
    """

    place: Place
    at: datetime
    way: tuple[Edge, ...]
    contacts: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LotReached:
    """It was in these tanks when they counted; ``is_there`` where it still is in one."""

    lot: Lot
    at: datetime
    vessels: tuple[str, ...]
    is_there: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Traced:
    subject: Place
    direction: Direction
    since: datetime
    until: datetime
    stops: tuple[Stop, ...]
    lots: tuple[LotReached, ...]
    barriers: tuple[Edge, ...]
    edges: tuple[Edge, ...]
    names: Mapping[str, Place]

    @property
    def tank_ids(self) -> list[UUID]:
        return [_id(one.place.key) for one in self.stops if one.place.key.startswith(VESSEL)]


def trace_from(
    site: Site,
    about: str,
    *,
    direction: Direction,
    since: datetime,
    until: datetime,
    without: Collection[Kind] = (),
) -> Traced | None:
    """Trace from a subject named as the ledger does; None where the site has no such subject.

    Kinds of contact in ``without`` are left out, to see what remains.
    """
    subject = _named(site, [about]).get(about) if _is_key(about) else None
    if subject is None:
        return None
    known = contacts_at(site, since=since, until=until).less(without)
    held = _presences(site, until)
    seeds = dict(_seeds(about, direction, known, held, since, until))
    found = trace(known.edges, seeds, direction=direction, since=since, until=until)
    edges = carrying(known.edges, found)
    names = _named(site, {carrier_of(name) for name in found.reached} | {about})
    stops = tuple(sorted(_stops(found, edges, names), key=lambda one: (one.at, one.place.name)))
    return Traced(
        subject=subject,
        direction=direction,
        since=since,
        until=until,
        stops=stops if direction is Direction.FORWARD else stops[::-1],
        lots=tuple(_lots(found, held, known, until)),
        barriers=tuple(stopped(known.edges, found)),
        edges=edges,
        names=names,
    )


def subject_named(site: Site, word: str) -> str | None:
    """Return the ledger key of what people call by this code at the site."""
    tank = Vessel.objects.filter(site=site, code__iexact=word).first()
    lot = Lot.objects.filter(site=site, code__iexact=word).first()
    kit = Kit.objects.filter(site=site, code__iexact=word).first()
    person = Person.objects.filter(memberships__site=site, username__iexact=word).first()
    consignment = Consignment.objects.filter(site=site, reference__iexact=word).first()
    found = ((VESSEL, tank), (LOT, lot), (KIT, kit), (PERSON, person), (CONSIGNMENT, consignment))
    return next((f"{table}:{row.pk}" for table, row in found if row is not None), None)


def _seeds(
    about: str,
    direction: Direction,
    known: Contacts,
    held: list[Presence],
    since: datetime,
    until: datetime,
) -> Iterator[tuple[str, datetime]]:
    """Where the trace begins: every part of the subject's time in the period."""
    is_ahead = direction is Direction.FORWARD
    carriers = {VESSEL: known.tanks, KIT: known.kits, PERSON: known.people}
    table = about.partition(":")[0]
    if table == LOT:
        for one in held:
            start, end = max(one.start, since), min(one.end or until, until)
            if one.lot == _id(about) and start <= end:
                for part in known.tanks.stretches(f"{VESSEL}:{one.vessel}", start, end):
                    yield part.name, part.start if is_ahead else part.end
    elif table in carriers:
        for part in carriers[table].stretches(about, since, until):
            yield part.name, part.start if is_ahead else part.end
    else:
        yield about, since if is_ahead else until


def _stops(found: Trace, edges: Iterable[Edge], names: Mapping[str, Place]) -> Iterator[Stop]:
    """One stop for each carrier, however often it was cleaned: the first time it was reached."""
    side = "target" if found.direction is Direction.FORWARD else "source"
    counts: dict[str, int] = defaultdict(int)
    for edge in edges:
        counts[carrier_of(getattr(edge, side))] += 1
    first: dict[str, str] = {}
    for name, one in found.reached.items():
        key = carrier_of(name)
        if key not in first or _is_before(one.at, found.reached[first[key]].at, found.direction):
            first[key] = name
    for key, name in first.items():
        if key in names:
            yield Stop(
                place=names[key],
                at=found.reached[name].at,
                way=found.way_to(name),
                contacts=counts[key],
            )


def _is_before(one: datetime, other: datetime, direction: Direction) -> bool:
    return one < other if direction is Direction.FORWARD else one > other


def _lots(
    found: Trace, held: Iterable[Presence], known: Contacts, until: datetime
) -> Iterator[LotReached]:
    """Lots that were in a reached tank when it counted."""
    met: dict[UUID, list[tuple[datetime, UUID, bool]]] = defaultdict(list)
    for one in held:
        for part in known.tanks.stretches(f"{VESSEL}:{one.vessel}", one.start, one.end or until):
            reached = found.reached.get(part.name)
            if reached is None:
                continue
            is_ahead = found.direction is Direction.FORWARD
            counts = reached.at <= part.end if is_ahead else reached.at >= part.start
            if counts:
                at = max(reached.at, part.start) if is_ahead else min(reached.at, part.end)
                is_there = one.end is None and part.end == until
                met[one.lot].append((at, one.vessel, is_there))
    lots = Lot.objects.select_related("species").in_bulk(met)
    codes = dict(Vessel.objects.filter(pk__in=_vessels(met)).values_list("pk", "code"))
    for lot_id, times in sorted(met.items(), key=lambda pair: lots[pair[0]].code):
        yield LotReached(
            lot=lots[lot_id],
            at=min(at for at, _, _ in times),
            vessels=tuple(sorted({codes[vessel] for _, vessel, _ in times})),
            is_there=any(is_there for _, _, is_there in times),
        )


def _vessels(met: Mapping[UUID, list[tuple[datetime, UUID, bool]]]) -> set[UUID]:
    return {vessel for times in met.values() for _, vessel, _ in times}


def _presences(site: Site, until: datetime) -> list[Presence]:
    rows = CountChange.objects.current().filter(
        Q(from_lot__site=site) | Q(to_lot__site=site), happened_at__lte=until
    )
    return presences([posting(row) for row in rows.order_by("happened_at", "recorded_at")])


def _named(site: Site, keys: Collection[str]) -> dict[str, Place]:
    """What each node is called; those of other sites are left out."""
    ids: dict[str, list[UUID]] = defaultdict(list)
    for key in keys:
        if ":" in key:
            ids[key.partition(":")[0]].append(_id(key))
    found = {OUTSIDE: Place(key=OUTSIDE, what="from", name="outside, no consignment named")}
    found |= {place.key: place for place in _names(site, ids)}
    return {key: found[key] for key in keys if key in found}


def _names(site: Site, ids: Mapping[str, list[UUID]]) -> Iterator[Place]:
    vessels = Vessel.objects.filter(site=site, pk__in=ids[VESSEL])
    for vessel in vessels:
        what = "tank" if vessel.kind == Vessel.Kind.TANK else "system"
        yield _place(VESSEL, vessel.pk, what, vessel.code)
    for kit in Kit.objects.filter(site=site, pk__in=ids[KIT]):
        what = "feed" if kit.kind == Kit.Kind.FEED_BATCH else "kit"
        yield _place(KIT, kit.pk, what, kit.code)
    for lot in Lot.objects.filter(site=site, pk__in=ids[LOT]):
        yield _place(LOT, lot.pk, "lot", lot.code)
    here = Person.objects.filter(memberships__site=site, pk__in=ids[PERSON]).distinct()
    for person in here:
        yield _place(PERSON, person.pk, "person", person.full_name)
    rows = Consignment.objects.filter(site=site, pk__in=ids[CONSIGNMENT]).select_related("supplier")
    for row in rows:
        name = f"{row.reference}, {row.supplier.name}"
        yield _place(CONSIGNMENT, row.pk, "consignment", name)
    gone = CountChange.objects.filter(pk__in=ids[GONE], from_lot__site=site)
    for change in gone.select_related("from_lot"):
        told = f"{change.count} of {change.from_lot}: {change.get_kind_display().lower()}"
        yield _place(GONE, change.pk, "gone", told)


def _place(table: str, pk: UUID, what: str, name: str) -> Place:
    return Place(key=f"{table}:{pk}", what=what, name=name)


def _is_key(about: str) -> bool:
    table, _, key = about.partition(":")
    try:
        UUID(key)
    except ValueError:
        return False
    return table in SUBJECTS


def _id(key: str) -> UUID:
    return UUID(key.partition(":")[2])
