"""Tanks and systems: open, rename, relabel, retire."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from django.db import models, transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.models import Area, Entry, Person, Site
from facility.refusals import IdTaken, NotFound, Refusal
from facility.rules import codes
from tanks.commands.finding import site_for, vessel_for
from tanks.models import Connection, Cycle, Label, Vessel
from tanks.sockets.labels import labelled

_LONGEST_CODE: Final = 20


class CodeTaken(Refusal):
    code = "code-taken"
    field = "code"


class CodeMissing(Refusal):
    code = "code-missing"
    field = "code"


class UnknownKind(Refusal):
    code = "unknown-kind"
    field = "kind"


class LabelUnfit(Refusal):
    code = "label-unfit"
    field = "label"


class StillOpen(Refusal):
    code = "still-open"
    field = "happened_at"


class StartUpRunning(Refusal):
    code = "start-up-running"
    field = "happened_at"


class RetiredBeforeOpened(Refusal):
    code = "retired-before-opened"
    field = "happened_at"


class AlreadyRetired(Refusal):
    code = "already-retired"
    field = "happened_at"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenVessel:
    """``label`` is a code of `facility.rules.codes`, made where the moment is.

    ``happened_at`` is since when the vessel stands here; without it, from now on.
    """

    id: UUID
    site_id: UUID
    area_id: UUID
    kind: str
    code: str
    name: str
    label: str
    happened_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RenameVessel:
    vessel_id: UUID
    code: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RetireVessel:
    vessel_id: UUID
    happened_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Relabel:
    vessel_id: UUID
    label: str


@transaction.atomic(durable=True)
def open_vessel(command: OpenVessel, *, by: Person, at: datetime) -> Vessel:
    """Put up a tank, or the core of a system, with its first label.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, UnknownKind, CodeMissing, CodeTaken, LabelUnfit
    """
    site = site_for(by, command.site_id, deed="tanks.open-vessel")
    if vessel := _opened_earlier(command):
        return vessel
    happened_at = command.happened_at or at
    require_past(happened_at, at=at)
    area = _area(site, command.area_id)
    if command.kind not in Vessel.Kind.values:
        raise UnknownKind("Choose a tank or a system.")
    _require_free_code(site, command.code)
    _require_fresh_label(command.label)
    vessel = Vessel.objects.create(
        id=command.id,
        site=site,
        area=area,
        kind=command.kind,
        code=command.code,
        name=command.name,
        opened_at=happened_at,
    )
    label = Label.objects.create(code=command.label, vessel=vessel, made_at=at)
    _record("tanks.open-vessel", vessel, [vessel, label], by=by, happened_at=happened_at, at=at)
    return vessel


@transaction.atomic(durable=True)
def rename_vessel(command: RenameVessel, *, by: Person, at: datetime) -> Vessel:
    """Change what people call a vessel; its labels keep leading to it.

    Raises:
        NotFound, NotAllowed, CodeMissing, CodeTaken
    """
    vessel = vessel_for(by, command.vessel_id, deed="tanks.rename-vessel")
    before = {"code": vessel.code, "name": vessel.name}
    if before == {"code": command.code, "name": command.name}:
        return vessel
    _require_free_code(vessel.site, command.code, but=vessel)
    vessel.code, vessel.name = command.code, command.name
    vessel.save(update_fields=["code", "name"])
    _record("tanks.rename-vessel", vessel, [vessel], by=by, happened_at=at, at=at, before=before)
    return vessel


@transaction.atomic(durable=True)
def retire_vessel(command: RetireVessel, *, by: Person, at: datetime) -> Vessel:
    """Take a vessel out of use. It stays on record, and its code stays its own.

    Raises:
        NotFound, NotAllowed, InTheFuture, AlreadyRetired, RetiredBeforeOpened, StillOpen,
        StartUpRunning
    """
    vessel = vessel_for(by, command.vessel_id, deed="tanks.retire-vessel")
    if vessel.retired_at == command.happened_at:
        return vessel
    if vessel.retired_at is not None:
        raise AlreadyRetired(f"{vessel.code} is retired already.")
    require_past(command.happened_at, at=at)
    _require_idle(vessel, command.happened_at)
    vessel.retired_at = command.happened_at
    vessel.save(update_fields=["retired_at"])
    _record("tanks.retire-vessel", vessel, [vessel], by=by, happened_at=command.happened_at, at=at)
    return vessel


@transaction.atomic(durable=True)
def relabel(command: Relabel, *, by: Person, at: datetime) -> Label:
    """Make a new label the vessel's only one; the old ones lead nowhere from now on.

    Raises:
        NotFound, NotAllowed, LabelUnfit
    """
    vessel = vessel_for(by, command.vessel_id, deed="tanks.relabel")
    current = Label.objects.filter(vessel=vessel, retired_at=None).order_by("made_at", "code")
    if label := current.filter(code=command.label).first():
        return label
    _require_fresh_label(command.label)
    old = list(current)
    for row in old:
        row.retired_at = at
        row.save(update_fields=["retired_at"])
    label = Label.objects.create(code=command.label, vessel=vessel, made_at=at)
    _record(
        "tanks.relabel",
        vessel,
        [label, *old],
        by=by,
        happened_at=at,
        at=at,
        retired=[row.code for row in old],
    )
    return label


def _opened_earlier(command: OpenVessel) -> Vessel | None:
    same = {"site_id": command.site_id, "area_id": command.area_id, "kind": command.kind}
    vessel = earlier(Vessel, command.id, same)
    if vessel is None:
        return None
    # The code may have been changed since; the ledger knows under which it was put up.
    line = Entry.objects.get(kind="tanks.open-vessel", about=ledger.key_of(vessel))
    if line.facts["rows"][0]["code"] != command.code:
        raise IdTaken(f"This was saved already, as {vessel.code}; open the page again to add one.")
    return vessel


def _area(site: Site, area_id: UUID) -> Area:
    area = site.areas.filter(pk=area_id).first()
    if area is None:
        raise NotFound(f"There is no such area at {site.name}.")
    return area


def _require_free_code(site: Site, code: str, *, but: Vessel | None = None) -> None:
    if not code.strip():
        raise CodeMissing("Give the code people will say, such as A-07.")
    if len(code) > _LONGEST_CODE:
        raise CodeMissing(f"Give a code of at most {_LONGEST_CODE} characters.")
    others = site.vessels.filter(code__iexact=code)
    taken = (others.exclude(pk=but.pk) if but else others).first()
    if taken is not None:
        retired = ", which is retired" if taken.retired_at else ""
        raise CodeTaken(f"{taken.code} is already a {_kind(taken)}{retired}; choose another code.")


def _kind(vessel: Vessel) -> str:
    return f"{'system' if vessel.kind == Vessel.Kind.SYSTEM else 'tank'} in {vessel.area}"


def _require_fresh_label(code: str) -> None:
    if not codes.check(code):
        raise LabelUnfit("This is not a label code of ours: make a new one.")
    if Label.objects.filter(pk=code).exists() or labelled(code):
        raise LabelUnfit("This label code was used before: make a new one.")


def _require_idle(vessel: Vessel, happened_at: datetime) -> None:
    if happened_at <= vessel.opened_at:
        raise RetiredBeforeOpened(f"{vessel.code} was put up after that time.")
    links = Connection.objects.filter(models.Q(vessel=vessel) | models.Q(system=vessel))
    held = links.filter(period__endswith__gt=happened_at) | links.filter(period__upper_inf=True)
    if link := held.select_related("vessel", "system").order_by("pk").first():
        raise StillOpen(f"Close the valve between {link.vessel.code} and {link.system.code} first.")
    if Cycle.objects.filter(vessel=vessel, ended_at=None).exists():
        raise StartUpRunning(f"End the start-up of {vessel.code} first.")


def _record(
    kind: str,
    vessel: Vessel,
    rows: list[models.Model],
    *,
    by: Person,
    happened_at: datetime,
    at: datetime,
    **more: Any,
) -> None:
    ledger.record(
        kind,
        rows,
        about=vessel,
        site=vessel.site,
        by=by,
        happened_at=happened_at,
        recorded_at=at,
        **more,
    )
