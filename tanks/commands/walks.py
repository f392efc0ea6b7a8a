"""Walk past the tanks of an area: all well except those that are not."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import SAVED_OTHERWISE, earlier, require_past, take_turn
from facility.models import Area, Person
from facility.queries import people
from facility.refusals import IdTaken, NotFound, Refusal
from tanks.models import Walk, WalkSign
from tanks.queries.walks import on_the_way


class NothingSeen(Refusal):
    code = "nothing-seen"
    field = "seen"


class NotOnTheWay(Refusal):
    code = "not-on-the-way"
    field = "seen"


class SignUnseen(Refusal):
    code = "sign-unseen"
    field = "signs"


class UnknownSign(Refusal):
    code = "unknown-sign"
    field = "signs"


class NoteMissing(Refusal):
    code = "note-missing"
    field = "signs"


@dataclass(frozen=True, slots=True, kw_only=True)
class SignSeen:
    id: UUID
    vessel_id: UUID
    sign: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LogWalk:
    """``seen`` are the tanks looked at; those that no sign names were well."""

    id: UUID
    area_id: UUID
    seen: tuple[UUID, ...]
    signs: tuple[SignSeen, ...]
    happened_at: datetime


@transaction.atomic(durable=True)
def log_walk(command: LogWalk, *, by: Person, at: datetime) -> Walk:
    """Keep what a walk saw, what was well included.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, NothingSeen, NotOnTheWay, SignUnseen,
        UnknownSign, NoteMissing
    """
    area = _area_for(by, command.area_id)
    if walk := _earlier(command):
        return walk
    require_past(command.happened_at, at=at)
    _require_way(command, area)
    for sign in command.signs:
        _require_sign(sign, command)
    walk = Walk.objects.create(
        id=command.id,
        area=area,
        seen=list(command.seen),
        happened_at=command.happened_at,
        recorded_at=at,
        by=by,
    )
    signs = [_row(sign, walk) for sign in command.signs]
    WalkSign.objects.bulk_create(signs)
    ledger.record(
        "tanks.log-walk",
        [walk, *signs],
        about=area,
        site=area.site,
        by=by,
        happened_at=command.happened_at,
        recorded_at=at,
    )
    return walk


def _area_for(by: Person, area_id: UUID) -> Area:
    area = Area.objects.open_to(by).select_related("site").filter(pk=area_id).first()
    if area is None:
        raise NotFound("There is no such area here.")
    people.require(by, "tanks.log-walk", area.site)
    take_turn(area.site)
    return area


def _earlier(command: LogWalk) -> Walk | None:
    """Return what an earlier delivery kept, if its signs say the same too."""
    said: dict[str, Any] = {
        "area_id": command.area_id,
        "seen": list(command.seen),
        "happened_at": command.happened_at,
    }
    walk = earlier(Walk, command.id, said)
    if walk is None:
        if WalkSign.objects.filter(pk__in=[sign.id for sign in command.signs]).exists():
            raise IdTaken(SAVED_OTHERWISE)
        return None
    kept = walk.signs.values_list("pk", "vessel_id", "sign", "note")
    if set(kept) != {(one.id, one.vessel_id, one.sign, one.note) for one in command.signs}:
        raise IdTaken(SAVED_OTHERWISE)
    return walk


def _require_way(command: LogWalk, area: Area) -> None:
    if not command.seen:
        raise NothingSeen("Nothing was looked at; mark at least one tank as seen.")
    there = {vessel.pk for vessel in on_the_way(area, at=command.happened_at)}
    if not there.issuperset(command.seen) or len(set(command.seen)) < len(command.seen):
        raise NotOnTheWay("Each tank seen must stand in this area, and be named once.")
    if len({sign.id for sign in command.signs}) < len(command.signs):
        raise IdTaken(SAVED_OTHERWISE)


def _require_sign(sign: SignSeen, command: LogWalk) -> None:
    if sign.vessel_id not in command.seen:
        raise SignUnseen("A sign is told of a tank that was looked at.")
    if sign.sign not in WalkSign.Sign.values:
        raise UnknownSign("Choose what is not well.")
    if sign.sign == WalkSign.Sign.OTHER and not sign.note.strip():
        raise NoteMissing("Say in a few words what else is not well.")


def _row(sign: SignSeen, walk: Walk) -> WalkSign:
    return WalkSign(
        id=sign.id,
        walk=walk,
        vessel_id=sign.vessel_id,
        sign=sign.sign,
        note=sign.note,
        happened_at=walk.happened_at,
        recorded_at=walk.recorded_at,
        by=walk.by,
    )
