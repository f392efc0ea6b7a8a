"""The address of one's own rounds for a calendar program: open it, close it."""

import re
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, take_turn
from facility.models import Calendar, Person, Site
from facility.queries import people
from facility.refusals import NotFound, Refusal

_SHA256: Final = re.compile(r"[0-9a-f]{64}")


class AddressUnfit(Refusal):
    code = "address-unfit"
    field = "token_sha256"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenCalendar:
    """``token_sha256`` is the digest of a random token that only the calendar program keeps."""

    id: UUID
    site_id: UUID
    token_sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseCalendar:
    """The address was seen by somebody it was not meant for, or is used no more."""

    calendar_id: UUID


@transaction.atomic(durable=True)
def open_calendar(command: OpenCalendar, *, by: Person, at: datetime) -> Calendar:
    """Let the bearer of the address read the rounds of ``by``.

    Raises:
        NotFound, NotAllowed, IdTaken, AddressUnfit
    """
    site = Site.objects.open_to(by).filter(pk=command.site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, "facility.open-calendar", site)
    take_turn(site)
    if calendar := earlier(Calendar, command.id, asdict(command) | {"person_id": by.pk}):
        return calendar
    if not _SHA256.fullmatch(command.token_sha256):
        raise AddressUnfit("Give the SHA-256 of the token as 64 hexadecimal digits.")
    if Calendar.objects.filter(token_sha256=command.token_sha256).exists():
        raise AddressUnfit("This token opens a calendar already; make a new one.")
    calendar = Calendar.objects.create(person=by, opened_at=at, **asdict(command))
    _record("facility.open-calendar", calendar, by=by, at=at)
    return calendar


@transaction.atomic(durable=True)
def close_calendar(command: CloseCalendar, *, by: Person, at: datetime) -> Calendar:
    """Close one's own; closed before, return it as it is.

    Raises:
        NotFound, NotAllowed
    """
    here = Calendar.objects.filter(site__in=Site.objects.open_to(by)).select_related("site")
    calendar = here.filter(pk=command.calendar_id).first()
    if calendar is None:
        raise NotFound("There is no such calendar here.")
    people.require(by, "facility.close-calendar", calendar.site)
    if calendar.person_id != by.pk:
        raise NotFound("This calendar is somebody else's; they close it themselves.")
    take_turn(calendar.site)
    calendar.refresh_from_db(fields=["closed_at"])
    if calendar.closed_at is not None:
        return calendar
    calendar.closed_at = at
    calendar.save(update_fields=["closed_at"])
    _record("facility.close-calendar", calendar, by=by, at=at)
    return calendar


def _record(kind: str, calendar: Calendar, *, by: Person, at: datetime) -> None:
    ledger.record(
        kind,
        [calendar],
        about=calendar,
        site=calendar.site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
