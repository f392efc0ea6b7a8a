"""Valves between a vessel and a system: opening joins two waters, closing splits one."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange
from django.db.models import Q

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past, take_turn
from facility.models import Person
from facility.queries import people
from facility.refusals import IdTaken, NotFound, Refusal
from tanks.commands.finding import VesselRetired, vessel_for
from tanks.models import Connection, Vessel


class ConnectedToItself(Refusal):
    code = "connected-to-itself"
    field = "system_id"


class NotASystem(Refusal):
    code = "not-a-system"
    field = "system_id"


class ValveOpen(Refusal):
    code = "valve-open"
    field = "happened_at"


class ValveClosed(Refusal):
    code = "valve-closed"
    field = "happened_at"


class ClosedBeforeOpened(Refusal):
    code = "closed-before-opened"
    field = "happened_at"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenValve:
    id: UUID
    vessel_id: UUID
    system_id: UUID
    valve: str
    happened_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseValve:
    connection_id: UUID
    happened_at: datetime


@transaction.atomic(durable=True)
def open_valve(command: OpenValve, *, by: Person, at: datetime) -> Connection:
    """From ``happened_at`` on, the vessel stands open to the system.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, ConnectedToItself, NotASystem,
        ValveOpen
    """
    vessel = vessel_for(by, command.vessel_id, deed="tanks.open-valve")
    same = {
        "vessel_id": vessel.pk,
        "system_id": command.system_id,
        "valve": command.valve,
    }
    if connection := earlier(Connection, command.id, same):
        if connection.period.lower != command.happened_at:
            raise IdTaken("This valve was opened at another time; open the page again.")
        return connection
    require_past(command.happened_at, at=at)
    system = _system_for(vessel, command.system_id)
    for end in (vessel, system):
        _require_not_retired(end)
    _require_no_other(vessel, since=command.happened_at)
    connection = Connection.objects.create(
        id=command.id,
        vessel=vessel,
        system=system,
        valve=command.valve,
        period=DateTimeTZRange(command.happened_at, None),
    )
    _record("tanks.open-valve", connection, by=by, happened_at=command.happened_at, at=at)
    return connection


@transaction.atomic(durable=True)
def close_valve(command: CloseValve, *, by: Person, at: datetime) -> Connection:
    """From ``happened_at`` on, the vessel no longer stands open to the system.

    Raises:
        NotFound, NotAllowed, InTheFuture, ValveClosed, ClosedBeforeOpened
    """
    connection = connection_for(by, command.connection_id, deed="tanks.close-valve")
    until = connection.period.upper
    if until == command.happened_at:
        return connection
    if until is not None:
        raise ValveClosed(f"This valve was closed on {_local(connection.vessel, until)} already.")
    require_past(command.happened_at, at=at)
    shut(connection, happened_at=command.happened_at)
    _record("tanks.close-valve", connection, by=by, happened_at=command.happened_at, at=at)
    return connection


def connection_for(by: Person, connection_id: UUID, *, deed: str) -> Connection:
    """Return the connection as it is now, with the turn taken at its site.

    Raises:
        NotFound, NotAllowed
    """
    rows = Connection.objects.filter(vessel__in=Vessel.objects.open_to(by))
    rows = rows.select_related("vessel__site", "system")
    connection = rows.filter(pk=connection_id).first()
    if connection is None:
        raise NotFound("There is no such connection here.")
    people.require(by, deed, connection.vessel.site)
    take_turn(connection.vessel.site)
    connection.refresh_from_db(fields=["period"])
    return connection


def shut(connection: Connection, *, happened_at: datetime) -> None:
    """End an open connection.

    Raises:
        ClosedBeforeOpened
    """
    if happened_at <= connection.period.lower:
        opened = _local(connection.vessel, connection.period.lower)
        raise ClosedBeforeOpened(f"The valve was opened on {opened}; give a later time.")
    connection.period = DateTimeTZRange(connection.period.lower, happened_at)
    connection.save(update_fields=["period"])


def _system_for(vessel: Vessel, system_id: UUID) -> Vessel:
    if system_id == vessel.pk:
        raise ConnectedToItself(f"{vessel.code} cannot be connected to itself.")
    system = Vessel.objects.select_related("site").filter(pk=system_id, site=vessel.site).first()
    if system is None:
        raise NotFound("There is no such system here.")
    if system.kind != Vessel.Kind.SYSTEM:
        raise NotASystem(f"{system.code} is a tank; connect both tanks to one system instead.")
    return system


def _require_not_retired(vessel: Vessel) -> None:
    if vessel.retired_at is not None:
        raise VesselRetired(f"{vessel.code} was retired on {_local(vessel, vessel.retired_at)}.")


def _require_no_other(vessel: Vessel, *, since: datetime) -> None:
    """A vessel is open to one system at a time; the database holds to that as well."""
    later = Q(period__upper_inf=True) | Q(period__endswith__gt=since)
    rows = Connection.objects.filter(later, vessel=vessel).select_related("system")
    held = rows.order_by("period").first()
    if held is None:
        return
    opened, until = _local(vessel, held.period.lower), held.period.upper
    closed = f" until {_local(vessel, until)}; give a later time." if until else "; close it first."
    raise ValveOpen(f"{vessel.code} is open to {held.system.code} since {opened}{closed}")


def _local(vessel: Vessel, at: datetime) -> str:
    return f"{at.astimezone(vessel.site.zone):%d %B %Y, %H:%M}"


def _record(
    kind: str, connection: Connection, *, by: Person, happened_at: datetime, at: datetime
) -> None:
    ledger.record(
        kind,
        [connection],
        about=connection.vessel,
        site=connection.vessel.site,
        by=by,
        happened_at=happened_at,
        recorded_at=at,
    )
