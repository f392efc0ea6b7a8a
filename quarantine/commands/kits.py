"""Nets, siphons, buckets and feed batches: put into use with a label, and taken out of it."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import models, transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past, take_turn
from facility.models import Area, Person, Site
from facility.queries import people
from facility.refusals import IdTaken, NotFound, Refusal
from facility.rules import codes
from quarantine.models import Kit, KitLabel
from tanks.commands.finding import site_for
from tanks.models import Label
from tanks.sockets.labels import labelled


class KitCodeMissing(Refusal):
    code = "kit-code-missing"
    field = "code"


class KitCodeTaken(Refusal):
    code = "kit-code-taken"
    field = "code"


class UnknownKit(Refusal):
    code = "unknown-kit"
    field = "kind"


class KitLabelUnfit(Refusal):
    code = "kit-label-unfit"
    field = "label"


class KitRetired(Refusal):
    code = "kit-retired"
    field = "kit_id"


class RetiredTooEarly(Refusal):
    code = "retired-too-early"
    field = "happened_at"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenKit:
    """``label`` is a code of `facility.rules.codes`, made where the moment is."""

    id: UUID
    site_id: UUID
    area_id: UUID | None
    kind: str
    code: str
    name: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RetireKit:
    kit_id: UUID
    happened_at: datetime


@transaction.atomic(durable=True)
def open_kit(command: OpenKit, *, by: Person, at: datetime) -> Kit:
    """Put a kit into use with its label.

    Raises:
        NotFound, NotAllowed, IdTaken, UnknownKit, KitCodeMissing, KitCodeTaken, KitLabelUnfit
    """
    site = site_for(by, command.site_id, deed="quarantine.open-kit")
    columns = {
        "site_id": site.pk,
        "area_id": _area_id(site, command.area_id),
        "kind": command.kind,
        "code": command.code.strip(),
        "name": command.name.strip(),
    }
    if kit := earlier(Kit, command.id, columns):
        _require_same_label(kit, command.label)
        return kit
    _require_fit(site, command)
    kit = Kit.objects.create(id=command.id, **columns, opened_at=at)
    label = KitLabel.objects.create(code=command.label, kit=kit, made_at=at)
    _record("quarantine.open-kit", kit, [kit, label], by=by, when=at, at=at)
    return kit


@transaction.atomic(durable=True)
def retire_kit(command: RetireKit, *, by: Person, at: datetime) -> Kit:
    """Take a kit out of use; its label leads nowhere from then on.

    Raises:
        NotFound, NotAllowed, InTheFuture, RetiredTooEarly, KitRetired
    """
    kit = kit_for(by, command.kit_id, deed="quarantine.retire-kit")
    if kit.retired_at == command.happened_at:
        return kit
    require_past(command.happened_at, at=at)
    require_kit_in_use(kit, at=command.happened_at)
    if command.happened_at < kit.opened_at:
        raise RetiredTooEarly(f"{kit.code} was put into use after that time; give a later one.")
    kit.retired_at = command.happened_at
    kit.save(update_fields=["retired_at"])
    labels = list(kit.labels.filter(retired_at=None))
    for label in labels:
        label.retired_at = command.happened_at
        label.save(update_fields=["retired_at"])
    when = command.happened_at
    _record("quarantine.retire-kit", kit, [kit, *labels], by=by, when=when, at=at)
    return kit


def kit_for(by: Person, kit_id: UUID, *, deed: str) -> Kit:
    """Return the kit, with the turn taken at its site.

    Raises:
        NotFound, NotAllowed
    """
    kit = Kit.objects.open_to(by).select_related("site").filter(pk=kit_id).first()
    if kit is None:
        raise NotFound("There is no such kit here.")
    people.require(by, deed, kit.site)
    take_turn(kit.site)
    return kit


def require_kit_in_use(kit: Kit, *, at: datetime) -> None:
    """Refuse what is said of a kit after it was taken out of use."""
    if kit.retired_at is not None and at >= kit.retired_at:
        local = kit.retired_at.astimezone(kit.site.zone)
        raise KitRetired(f"{kit.code} was taken out of use on {local:%d %B %Y, %H:%M}.")


def _area_id(site: Site, area_id: UUID | None) -> UUID | None:
    if area_id is not None and not Area.objects.filter(pk=area_id, site=site).exists():
        raise NotFound("There is no such area here.")
    return area_id


def _require_fit(site: Site, command: OpenKit) -> None:
    code, label = command.code.strip(), command.label
    if command.kind not in Kit.Kind.values:
        raise UnknownKit("Choose what kind of kit it is.")
    if not code:
        raise KitCodeMissing("Write the code people say, such as N-03.")
    if Kit.objects.filter(site=site, code=code).exists():
        raise KitCodeTaken(f"{code} is on another kit already; choose another code.")
    if not codes.check(label):
        raise KitLabelUnfit("This is not a label code of ours: make a new one.")
    if Label.objects.filter(pk=label).exists() or labelled(label):
        raise KitLabelUnfit("This label code was used before: make a new one.")


def _require_same_label(kit: Kit, label: str) -> None:
    if not kit.labels.filter(pk=label).exists():
        raise IdTaken("This kit was put into use with another label.")


def _record(
    kind: str, kit: Kit, rows: list[models.Model], *, by: Person, when: datetime, at: datetime
) -> None:
    ledger.record(kind, rows, about=kit, site=kit.site, by=by, happened_at=when, recorded_at=at)
