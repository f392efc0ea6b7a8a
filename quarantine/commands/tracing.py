"""Hold everything that a trace reached, in one act."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID, uuid5

from django.apps import apps
from django.db import models, transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.models import Person, Site
from facility.refusals import NotFound, Refusal
from quarantine.models import Hold
from quarantine.queries.holds import holds_at
from quarantine.queries.tracing import Traced, trace_from
from quarantine.rules.tracing import Direction, Kind
from tanks.commands.finding import site_for
from tanks.models import Vessel
from tanks.queries.waters import waters

WAYS: Final = {
    "forward": (Direction.FORWARD,),
    "backward": (Direction.BACKWARD,),
    "both": (Direction.FORWARD, Direction.BACKWARD),
}


class UnknownDirection(Refusal):
    code = "unknown-direction"
    field = "direction"


class SinceTooLate(Refusal):
    code = "since-too-late"
    field = "since"


class UnknownContact(Refusal):
    code = "unknown-contact"
    field = "without"


class TraceWhyMissing(Refusal):
    code = "trace-why-missing"
    field = "why"


class NothingToHold(Refusal):
    code = "nothing-to-hold"
    field = "about"


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldTraced:
    """``about`` names a tank, lot, kit, person or consignment as the ledger does.

    ``direction`` is forward, backward or both; ``without`` names kinds of contact left out:
    animals, water, equipment, people, feed. Held are the waters of the tanks the trace
    reached and the lots still there; the trace is made anew, from ``since`` to ``happened_at``.
    """

    id: UUID
    site_id: UUID
    about: str
    direction: str
    since: datetime
    why: str
    happened_at: datetime
    without: tuple[str, ...] = ()


@transaction.atomic(durable=True)
def hold_traced(command: HoldTraced, *, by: Person, at: datetime) -> list[Hold]:
    """Put a hold on each water and each lot reached; what a trace holds already is left out.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, UnknownDirection, UnknownContact,
        SinceTooLate, TraceWhyMissing, NothingToHold
    """
    site = site_for(by, command.site_id, deed="quarantine.hold-traced")
    told = {"why": command.why.strip(), "kind": "TRACE", "happened_at": command.happened_at}
    if first := earlier(Hold, command.id, told):
        return _held_with(first)
    require_past(command.happened_at, at=at)
    _require_asked(command)
    holds = [Hold(**subject, **told, recorded_at=at, by=by) for subject in _subjects(command, site)]
    if not holds:
        raise NothingToHold(
            "The trace reached no tank and no lot that is not held by a trace already."
        )
    for place, hold in enumerate(holds):
        hold.pk = uuid5(command.id, str(place)) if place else command.id
    Hold.objects.bulk_create(holds)
    ledger.record(
        "quarantine.hold-traced",
        holds,
        about=_row(command.about),
        site=site,
        by=by,
        happened_at=command.happened_at,
        recorded_at=at,
        direction=command.direction,
        since=command.since.isoformat(),
        without=list(command.without),
    )
    return holds


def _require_asked(command: HoldTraced) -> None:
    if command.direction not in WAYS:
        raise UnknownDirection("Choose forward, backward or both.")
    if not {kind.value for kind in Kind}.issuperset(command.without):
        raise UnknownContact("Leave out animals, water, equipment, people or feed.")
    if command.since >= command.happened_at:
        raise SinceTooLate("Give an earlier moment: the trace begins there.")
    if not command.why.strip():
        raise TraceWhyMissing("Say in a few words what the trace is for.")


def _subjects(command: HoldTraced, site: Site) -> Iterator[dict[str, Any]]:
    found = [
        trace_from(
            site,
            command.about,
            direction=way,
            since=command.since,
            until=command.happened_at,
            without=[Kind(one) for one in command.without],
        )
        for way in WAYS[command.direction]
    ]
    known = [one for one in found if one is not None]
    if not known:
        raise NotFound("There is no such tank, lot, kit, person or consignment here.")
    held = [one for one in holds_at(site, at=command.happened_at) if one.kind == "TRACE"]
    yield from _waters(site, known, {one.vessel_id for one in held}, command.happened_at)
    yield from _lots(known, {one.lot_id for one in held})


def _waters(
    site: Site, known: Iterable[Traced], held: set[UUID | None], at: datetime
) -> Iterator[dict[str, Any]]:
    """One hold for each water, on the first of its tanks that was reached."""
    reached = {pk for one in known for pk in one.tank_ids}
    for water in waters(site, at=at):
        here = sorted((row for row in water.members if row.pk in reached), key=_code)
        if here and not held & water.member_ids:
            yield {"vessel_id": here[0].pk}


def _lots(known: Iterable[Traced], held: set[UUID | None]) -> Iterator[dict[str, Any]]:
    there = {lot.lot.pk: lot.lot.code for one in known for lot in one.lots if lot.is_there}
    for pk, _ in sorted(there.items(), key=lambda pair: pair[1]):
        if pk not in held:
            yield {"lot_id": pk}


def _held_with(first: Hold) -> list[Hold]:
    rows = Hold.objects.filter(
        kind=first.kind, why=first.why, happened_at=first.happened_at, by=first.by
    )
    return list(rows.filter(recorded_at=first.recorded_at).order_by("pk"))


def _code(vessel: Vessel) -> str:
    return vessel.code


def _row(about: str) -> models.Model:
    table, _, key = about.partition(":")
    row: models.Model = apps.get_model(table)._base_manager.get(pk=key)
    return row
