"""Who is on and when: set a shift, also one that comes again each week; cancel one."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final
from uuid import UUID, uuid5

from django.db import transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from facility.commands import ledger
from facility.commands.deliveries import earlier, take_turn
from facility.models import Person, Shift, Site
from facility.queries import people
from facility.queries.memberships import keepers_at
from facility.refusals import NotFound, Refusal
from facility.rules.wording import day_and_time

LONGEST: Final = timedelta(hours=24)
LONGEST_ON_CALL: Final = timedelta(days=7)
MOST_WEEKS: Final = 12


class UnknownKeeper(Refusal):
    code = "unknown-keeper"
    field = "person_id"


class ShiftAskew(Refusal):
    code = "shift-askew"
    field = "ends_at"


class TooManyWeeks(Refusal):
    code = "too-many-weeks"
    field = "weeks"


class OnAlready(Refusal):
    code = "on-already"
    field = "begins_at"


class ShiftOver(Refusal):
    code = "shift-over"
    field = "shift_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class SetShift:
    """``weeks`` is how many weeks it comes, at the same time by the site's clock.

    ``id`` becomes the first shift's; those of the later weeks follow from it.
    """

    id: UUID
    site_id: UUID
    person_id: UUID
    begins_at: datetime
    ends_at: datetime
    is_on_call: bool = False
    is_stand_in: bool = False
    weeks: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class CancelShift:
    shift_id: UUID


@transaction.atomic(durable=True)
def set_shift(command: SetShift, *, by: Person, at: datetime) -> list[Shift]:
    """Put a person on, all weeks or none.

    Raises:
        NotFound, NotAllowed, IdTaken, ShiftAskew, TooManyWeeks, UnknownKeeper, OnAlready
    """
    site = Site.objects.open_to(by).filter(pk=command.site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, "facility.set-shift", site)
    take_turn(site)
    if first := earlier(Shift, command.id, _said(command)):
        return [first]
    _require_length(command)
    if not keepers_at(site).filter(pk=command.person_id).exists():
        raise UnknownKeeper(f"Choose somebody who works on the tanks of {site.name}.")
    rows = [_shift(command, site, week) for week in range(command.weeks)]
    for row in rows:
        _require_free(row, site)
    Shift.objects.bulk_create(rows)
    _record("facility.set-shift", rows, site=site, by=by, at=at)
    return rows


@transaction.atomic(durable=True)
def cancel_shift(command: CancelShift, *, by: Person, at: datetime) -> Shift:
    """Take a person off again; cancelled before, return it as it is.

    Raises:
        NotFound, NotAllowed, ShiftOver
    """
    here = Shift.objects.filter(site__in=Site.objects.open_to(by)).select_related("site", "person")
    shift = here.filter(pk=command.shift_id).first()
    if shift is None:
        raise NotFound("There is no such shift.")
    people.require(by, "facility.cancel-shift", shift.site)
    take_turn(shift.site)
    shift.refresh_from_db(fields=["cancelled_at"])
    if shift.cancelled_at is not None:
        return shift
    if shift.period.upper <= at:
        raise ShiftOver("This shift is over: that somebody was on stays on record.")
    shift.cancelled_at = at
    shift.save(update_fields=["cancelled_at"])
    _record("facility.cancel-shift", [shift], site=shift.site, by=by, at=at)
    return shift


def _said(command: SetShift) -> dict[str, Any]:
    return {
        "site_id": command.site_id,
        "person_id": command.person_id,
        "period": DateTimeTZRange(command.begins_at, command.ends_at),
        "is_on_call": command.is_on_call,
        "is_stand_in": command.is_stand_in,
    }


def _require_length(command: SetShift) -> None:
    longest = LONGEST_ON_CALL if command.is_on_call else LONGEST
    if not timedelta(0) < command.ends_at - command.begins_at <= longest:
        most = "7 days" if command.is_on_call else "24 hours"
        raise ShiftAskew(f"Let it end after it begins, and within {most}.")
    if not 1 <= command.weeks <= MOST_WEEKS:
        raise TooManyWeeks(f"Give a number of weeks from 1 to {MOST_WEEKS}.")


def _shift(command: SetShift, site: Site, week: int) -> Shift:
    said = _said(command)
    # By the clock on the wall, so that a change of the clock moves nobody's shift.
    edges = (each.astimezone(site.zone) for each in (command.begins_at, command.ends_at))
    said["period"] = DateTimeTZRange(*(each + timedelta(weeks=week) for each in edges))
    return Shift(id=uuid5(command.id, str(week)) if week else command.id, **said)


def _require_free(row: Shift, site: Site) -> None:
    held = Shift.objects.filter(
        person=row.person_id,
        is_on_call=row.is_on_call,
        cancelled_at=None,
        period__overlap=row.period,
    )
    if other := held.select_related("person", "site").order_by("period").first():
        since = day_and_time(other.period.lower, zone=site.zone)
        raise OnAlready(
            f"{other.person.full_name} is on already from {since}; cancel that shift first."
        )


def _record(kind: str, rows: list[Shift], *, site: Site, by: Person, at: datetime) -> None:
    ledger.record(kind, rows, about=site, site=site, by=by, happened_at=at, recorded_at=at)
