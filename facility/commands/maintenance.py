"""Planned work that keeps the pushes of its subject quiet, and ends by itself."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final
from uuid import UUID

from django.db import transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past, take_turn
from facility.models import Maintenance, Person, Site
from facility.queries import people
from facility.refusals import NotFound, Refusal
from facility.sockets.subjects import place_of

LONGEST: Final = timedelta(hours=24)


class EndsOutOfReach(Refusal):
    code = "ends-out-of-reach"
    field = "ends_at"


class ReasonMissing(Refusal):
    code = "reason-missing"
    field = "why"


@dataclass(frozen=True, slots=True, kw_only=True)
class SetMaintenance:
    """Work on ``about`` from ``begins_at`` until ``ends_at``, a day at most.

    ``replaces_id`` names an earlier one that this takes the place of: longer, or done early.
    """

    id: UUID
    about: str
    why: str
    begins_at: datetime
    ends_at: datetime
    replaces_id: UUID | None = None


@transaction.atomic(durable=True)
def set_maintenance(command: SetMaintenance, *, by: Person, at: datetime) -> Maintenance:
    """Push nothing of level 2 or 3 about the subject until the work ends.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, ReasonMissing, EndsOutOfReach
    """
    site = _site_of(command.about, by)
    people.require(by, "facility.set-maintenance", site)
    take_turn(site)
    if row := earlier(Maintenance, command.id, _told(command)):
        return row
    _require_sound(command, at=at)
    row = Maintenance.objects.create(
        id=command.id,
        site=site,
        happened_at=command.begins_at,
        recorded_at=at,
        by=by,
        corrects=_replaced(command, site),
        reason=command.why.strip() if command.replaces_id else "",
        **_told(command),
    )
    ledger.record(
        "facility.set-maintenance",
        [row],
        about=row,
        site=site,
        by=by,
        happened_at=command.begins_at,
        recorded_at=at,
    )
    return row


def _site_of(about: str, by: Person) -> Site:
    place = place_of(about)
    site = Site.objects.open_to(by).filter(pk=place.site_id).first() if place else None
    if site is None:
        raise NotFound("There is no such tank, device or area here.")
    return site


def _told(command: SetMaintenance) -> dict[str, Any]:
    return {
        "about": command.about,
        "why": command.why.strip(),
        "period": DateTimeTZRange(command.begins_at, command.ends_at),
    }


def _require_sound(command: SetMaintenance, *, at: datetime) -> None:
    require_past(command.begins_at, at=at)
    if not command.why.strip():
        raise ReasonMissing("Say what the work is, such as “large water change”.")
    if not command.begins_at < command.ends_at <= command.begins_at + LONGEST:
        raise EndsOutOfReach("Give an end within 24 hours of the beginning; it can be set anew.")


def _replaced(command: SetMaintenance, site: Site) -> Maintenance | None:
    if command.replaces_id is None:
        return None
    held = Maintenance.objects.current().filter(site=site, about=command.about)
    row: Maintenance | None = held.filter(pk=command.replaces_id).first()
    if row is None:
        raise NotFound("There is no such planned work; it may have been set anew already.")
    return row
