"""The site as a whole: its areas, its waters, and how they hang together."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Q, QuerySet

from facility.models import Area, Site
from facility.rules.wording import written
from tanks.models import Connection, Policy, Vessel, Volume
from tanks.queries.waters import Water, litres_at, spans_of, waters
from tanks.rules.map import Drawing, Link, Vertex, drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class Mapped:
    """A water, drawn; ``shut_off`` are the tanks behind its closed valves."""

    water: Water
    drawing: Drawing
    shut_off: tuple[Vessel, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Estate:
    """``shared`` waters have a system; ``lone`` ones are single tanks."""

    site: Site
    areas: tuple[Area, ...]
    shared: tuple[Mapped, ...]
    lone: tuple[Water, ...]
    has_policy: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Company:
    """With whom a vessel shared water, from when until when; ``until`` None is until now."""

    others: tuple[Vessel, ...]
    since: datetime
    until: datetime | None


def estate(site: Site, *, at: datetime) -> Estate:
    """The whole site in a fixed number of queries."""
    found = waters(site, at=at)
    links = _links(site, at)
    litres = litres_at(site, at)
    shared = [water for water in found if water.anchor.kind == Vessel.Kind.SYSTEM]
    return Estate(
        site=site,
        areas=tuple(site.areas.order_by("hygiene_rank", "name", "pk")),
        shared=tuple(_mapped(water, links, litres) for water in shared),
        lone=tuple(water for water in found if water not in shared),
        has_policy=Policy.objects.filter(site=site, period__contains=at).exists(),
    )


def mapped(water: Water) -> Mapped:
    """One water with its map."""
    site = water.anchor.site
    return _mapped(water, _links(site, water.at), litres_at(site, water.at))


def companies(vessel: Vessel, *, until: datetime) -> list[Company]:
    """With whom the vessel shared water and since when, latest first."""
    since = _since(vessel)
    spans = spans_of(vessel, since=since, until=until) if since < until else []
    ids = {member for span in spans for member in span.members}
    vessels = {row.pk: row for row in Vessel.objects.filter(pk__in=ids).order_by("code", "pk")}
    return [
        Company(
            others=tuple(row for pk, row in vessels.items() if pk in span.members - {vessel.pk}),
            since=span.since,
            until=span.until if span.until != until else None,
        )
        for span in reversed(spans)
    ]


def volumes(vessel_ids: Iterable[UUID], *, at: datetime) -> dict[UUID, Volume]:
    """The volume that holds for each measured vessel at that moment, and how it is known."""
    rows = Volume.objects.current().filter(vessel__in=vessel_ids, happened_at__lte=at)
    rows = rows.select_related("by")
    rows = rows.order_by("vessel_id", "-happened_at", "-recorded_at").distinct("vessel_id")
    return {row.vessel_id: row for row in rows}


def connection_at(vessel: Vessel, *, at: datetime) -> Connection | None:
    """The valve that stands open between the vessel and a system at that moment."""
    rows = Connection.objects.filter(vessel=vessel, period__contains=at)
    return rows.select_related("system__site", "vessel__site").first()


def latest_connection(vessel: Vessel) -> Connection | None:
    """The valve of this tank that was opened last, open still or closed since."""
    rows = Connection.objects.filter(vessel=vessel).select_related("system")
    return rows.order_by("-period").first()


def likely_system(vessel: Vessel) -> Vessel | None:
    """The system it would be opened to again; of a tank never connected, the first by code."""
    last, offered = latest_connection(vessel), systems(vessel.site, but=vessel)
    return (offered.filter(pk=last.system_id).first() if last else None) or offered.first()


def systems(site: Site, *, but: Vessel) -> QuerySet[Vessel]:
    """Systems in use that a vessel could be connected to."""
    rows = Vessel.objects.filter(site=site, kind=Vessel.Kind.SYSTEM, retired_at=None)
    return rows.exclude(pk=but.pk).order_by("code", "pk")


def _since(vessel: Vessel) -> datetime:
    """The vessel's beginning, or its first valve's if that was entered as earlier."""
    links = Connection.objects.filter(Q(vessel=vessel) | Q(system=vessel)).order_by("period")
    first = links.first()
    return min(vessel.opened_at, first.period.lower) if first else vessel.opened_at


def _links(site: Site, at: datetime) -> list[Connection]:
    """For each vessel the valve opened latest before that moment, open still or closed."""
    rows = Connection.objects.filter(vessel__site=site, period__startswith__lte=at)
    rows = rows.select_related("vessel__area", "system")
    return list(rows.order_by("vessel_id", "-period").distinct("vessel_id"))


def _mapped(water: Water, links: list[Connection], litres: dict[UUID, float]) -> Mapped:
    ids = water.member_ids
    ours = [link for link in links if link.system_id in ids]
    shut_off = tuple(_shut_off(ours, water))
    vertices = [
        *(_vertex(vessel, litres) for vessel in water.members),
        *(_vertex(vessel, litres, is_guest=True) for vessel in shut_off),
    ]
    shown = {vertex.id for vertex in vertices}
    drawing = drawn(vertices, [_link(link, water) for link in ours if link.vessel_id in shown])
    return Mapped(water=water, drawing=drawing, shut_off=shut_off)


def _shut_off(links: list[Connection], water: Water) -> list[Vessel]:
    closed = (link.vessel for link in links if link.vessel_id not in water.member_ids)
    in_use = (v for v in closed if v.retired_at is None or v.retired_at > water.at)
    tanks = (vessel for vessel in in_use if vessel.kind == Vessel.Kind.TANK)
    return sorted(tanks, key=lambda vessel: vessel.code)


def _vertex(vessel: Vessel, litres: dict[UUID, float], *, is_guest: bool = False) -> Vertex:
    known = litres.get(vessel.pk)
    return Vertex(
        id=vessel.pk,
        code=vessel.code,
        note="no volume yet" if known is None else f"{written(known)} L",
        is_core=vessel.kind == Vessel.Kind.SYSTEM,
        is_guest=is_guest,
    )


def _link(connection: Connection, water: Water) -> Link:
    until = connection.period.upper
    return Link(
        vessel=connection.vessel_id,
        core=connection.system_id,
        is_open=until is None or until > water.at,
    )
