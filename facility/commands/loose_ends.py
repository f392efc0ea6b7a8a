"""Leave something in a state that must not last, and put it right again."""

from copy import copy
from dataclasses import asdict, dataclass
from datetime import datetime
from uuid import UUID

from django.apps import apps
from django.db import models, transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past, take_turn
from facility.models import LooseEnd, LooseEndReturn, Person, Site
from facility.queries import people
from facility.refusals import NotFound, Refusal
from facility.sockets.subjects import Place, place_of


class UnknownLooseEnd(Refusal):
    code = "unknown-loose-end"
    field = "kind"


class WhatMissing(Refusal):
    code = "what-missing"
    field = "what"


class WhyMissing(Refusal):
    code = "why-missing"
    field = "why"


class ReasonMissing(Refusal):
    code = "reason-missing"
    field = "reason"


class NotALoan(Refusal):
    code = "not-a-loan"
    field = "due_back_at"


class UnknownOwner(Refusal):
    code = "unknown-owner"
    field = "owner_id"


class ReturnedBefore(Refusal):
    code = "returned-before"
    field = "loose_end_id"


class ExtendedBefore(Refusal):
    code = "extended-before"
    field = "loose_end_id"


class ReturnedTooEarly(Refusal):
    code = "returned-too-early"
    field = "happened_at"


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaveLooseEnd:
    """``about`` names a tank, an area or the site as the ledger does.

    ``owner_id`` is who puts it right, by ``due_back_at``.
    """

    id: UUID
    about: str
    kind: str
    what: str
    why: str
    owner_id: UUID
    due_back_at: datetime
    happened_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnLooseEnd:
    id: UUID
    loose_end_id: UUID
    happened_at: datetime
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ExtendLooseEnd:
    """It stays longer, or becomes somebody else's; the row before stays to be seen."""

    id: UUID
    loose_end_id: UUID
    owner_id: UUID
    due_back_at: datetime
    reason: str


@transaction.atomic(durable=True)
def leave_loose_end(command: LeaveLooseEnd, *, by: Person, at: datetime) -> LooseEnd:
    """Remember a temporary state with its owner and the time it is to be put right.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, UnknownLooseEnd, WhatMissing, WhyMissing,
        NotALoan, UnknownOwner
    """
    place, site = _place_for(by, command.about)
    if row := earlier(LooseEnd, command.id, asdict(command)):
        return row
    require_past(command.happened_at, at=at)
    _require_told(command)
    require_owner(command.owner_id, site)
    row = LooseEnd.objects.create(
        **asdict(command), site=site, area_id=place.area_id, recorded_at=at, by=by
    )
    _record("facility.leave-loose-end", row, row.about, by=by, site=site)
    return row


@transaction.atomic(durable=True)
def return_loose_end(command: ReturnLooseEnd, *, by: Person, at: datetime) -> LooseEndReturn:
    """Say that it was put right, by whoever did it.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, ExtendedBefore, ReturnedBefore,
        ReturnedTooEarly
    """
    loose = _loose_end_for(by, command.loose_end_id, deed="facility.return-loose-end")
    if row := earlier(LooseEndReturn, command.id, asdict(command)):
        return row
    require_past(command.happened_at, at=at)
    _require_standing(loose)
    _require_unreturned(loose)
    if command.happened_at < loose.happened_at:
        left = loose.happened_at.astimezone(loose.site.zone)
        raise ReturnedTooEarly(f"It was left on {left:%d %B %Y, %H:%M}; give a later time.")
    row = LooseEndReturn.objects.create(**asdict(command), recorded_at=at, by=by)
    _record("facility.return-loose-end", row, loose.about, by=by, site=loose.site)
    return row


@transaction.atomic(durable=True)
def extend_loose_end(command: ExtendLooseEnd, *, by: Person, at: datetime) -> LooseEnd:
    """Give it a new time or a new owner, with the reason.

    Raises:
        NotFound, NotAllowed, IdTaken, ExtendedBefore, ReturnedBefore, ReasonMissing, NotALoan,
        UnknownOwner
    """
    loose = _loose_end_for(by, command.loose_end_id, deed="facility.extend-loose-end")
    said = asdict(command)
    said["corrects_id"] = said.pop("loose_end_id")
    if row := earlier(LooseEnd, command.id, said):
        return row
    _require_standing(loose)
    _require_unreturned(loose)
    _require_later(command, loose)
    require_owner(command.owner_id, loose.site)
    row = _extended(loose, command, by=by, at=at)
    row.save(force_insert=True)
    _record("facility.extend-loose-end", row, row.about, by=by, site=loose.site)
    return row


def require_owner(person_id: UUID, site: Site) -> None:
    """Refuse an owner who does not work here.

    Raises:
        UnknownOwner
    """
    person = Person.objects.filter(pk=person_id, is_active=True).first()
    if person is None or people.role_at(site, person) is None:
        raise UnknownOwner("Choose somebody who works here.")


def _place_for(by: Person, about: str) -> tuple[Place, Site]:
    place = place_of(about)
    site = Site.objects.open_to(by).filter(pk=place.site_id).first() if place else None
    if place is None or site is None:
        raise NotFound("There is no such tank, area or site here.")
    people.require(by, "facility.leave-loose-end", site)
    take_turn(site)
    return place, site


def _require_told(command: LeaveLooseEnd) -> None:
    if command.kind not in LooseEnd.Kind.values:
        raise UnknownLooseEnd("Choose what kind of loose end it is.")
    if not command.what.strip():
        raise WhatMissing("Say in a few words what is left, such as: fill hose in A-03.")
    if not command.why.strip():
        raise WhyMissing("Say in a few words why.")
    if command.due_back_at <= command.happened_at:
        raise NotALoan("It must be put right later than it was left; give a later time.")


def _loose_end_for(by: Person, loose_end_id: UUID, *, deed: str) -> LooseEnd:
    rows = LooseEnd.objects.filter(site__in=Site.objects.open_to(by))
    row: LooseEnd | None = rows.select_related("site").filter(pk=loose_end_id).first()
    if row is None:
        raise NotFound("There is no such loose end here.")
    people.require(by, deed, row.site)
    take_turn(row.site)
    return row


def _require_standing(loose: LooseEnd) -> None:
    if LooseEnd.objects.filter(corrects=loose).exists():
        raise ExtendedBefore("This was given a later time or another owner; open the list again.")


def _require_later(command: ExtendLooseEnd, loose: LooseEnd) -> None:
    if not command.reason.strip():
        raise ReasonMissing("Say in a few words why it stays, or why it changes hands.")
    if command.due_back_at <= loose.happened_at:
        raise NotALoan("It must be put right later than it was left; give a later time.")


def _extended(loose: LooseEnd, command: ExtendLooseEnd, *, by: Person, at: datetime) -> LooseEnd:
    row = copy(loose)
    row.pk, row._state.adding = command.id, True
    row.corrects, row.reason = loose, command.reason
    row.owner_id, row.due_back_at = command.owner_id, command.due_back_at
    row.recorded_at, row.by = at, by
    return row


def _require_unreturned(loose: LooseEnd) -> None:
    before = LooseEndReturn.objects.filter(loose_end=loose).select_related("by").first()
    if before is not None:
        local = before.happened_at.astimezone(loose.site.zone)
        raise ReturnedBefore(f"{before.by.full_name} put this right on {local:%d %B %Y, %H:%M}.")


def _record(
    kind: str, row: LooseEnd | LooseEndReturn, about: str, *, by: Person, site: Site
) -> None:
    ledger.record(
        kind,
        [row],
        about=_subject(about),
        site=site,
        by=by,
        happened_at=row.happened_at,
        recorded_at=row.recorded_at,
    )


def _subject(about: str) -> models.Model:
    table, _, key = about.partition(":")
    row: models.Model = apps.get_model(table)._base_manager.get(pk=key)
    return row
