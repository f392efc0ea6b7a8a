"""The waters before a valve is turned, and as they would be after."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from tanks.models import Connection, Vessel
from tanks.queries.waters import litres_at, openings, standing
from tanks.rules.turns import Part, says
from tanks.rules.waters import Opening, net_litres, waters_at


def if_opened(vessel: Vessel, system: Vessel, *, at: datetime) -> str:
    """Return what opening a valve between the two at that moment does."""
    now = openings(vessel.site)
    then = [*now, Opening(vessel=vessel.pk, system=system.pk, since=at)]
    return says(_parts(vessel, system, now, at), _parts(vessel, system, then, at))


def if_closed(connection: Connection, *, at: datetime) -> str:
    """Return what closing this valve at that moment does."""
    vessel, system = connection.vessel, connection.system
    now = openings(vessel.site)
    gone = (connection.vessel_id, connection.system_id, connection.period.lower)
    then = [each for each in now if (each.vessel, each.system, each.since) != gone]
    return says(_parts(vessel, system, now, at), _parts(vessel, system, then, at))


def _parts(
    vessel: Vessel, system: Vessel, links: Iterable[Opening], at: datetime
) -> tuple[Part, ...]:
    """The one or two waters that the vessel and the system are in."""
    vessels = {row.pk: row for row in standing(vessel.site, at)} | {
        vessel.pk: vessel,
        system.pk: system,
    }
    litres = litres_at(vessel.site, at)
    groups = waters_at(vessels, links, at=at)
    ends = {vessel.pk, system.pk}
    return tuple(_part(group, vessels, litres) for group in groups if group & ends)


def _part(group: frozenset[UUID], vessels: dict[UUID, Vessel], litres: dict[UUID, float]) -> Part:
    members = sorted(
        (vessels[pk] for pk in group if pk in vessels),
        key=lambda member: (member.kind != Vessel.Kind.SYSTEM, member.code),
    )
    total, unmeasured = net_litres([member.pk for member in members], litres)
    return Part(
        name=members[0].code,
        codes=tuple(member.code for member in members),
        litres=None if unmeasured else total,
        unmeasured=tuple(member.code for member in members if member.pk in unmeasured),
    )
