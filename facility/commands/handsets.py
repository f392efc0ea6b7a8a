"""Phones that several people share: pair one, end it, set the PIN that changes hands."""

import re
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction

from facility.commands import attempts, ledger
from facility.commands.deliveries import SAVED_OTHERWISE, earlier, take_turn
from facility.models import Handset, Person, Pin, Site
from facility.queries import people
from facility.queries.handsets import pin_of
from facility.refusals import IdTaken, NotFound, Refusal
from facility.rules.pins import fault_of

_SHA256: Final = re.compile(r"[0-9a-f]{64}")


class HandsetNameMissing(Refusal):
    code = "handset-name-missing"
    field = "name"


class NoToken(Refusal):
    code = "no-token"
    field = "token_sha256"


class PinUnfit(Refusal):
    code = "pin-unfit"
    field = "pin"


class TooManyTries(Refusal):
    code = "too-many-tries"
    field = "pin"


class WrongPin(Refusal):
    code = "wrong-pin"
    field = "pin"


@dataclass(frozen=True, slots=True, kw_only=True)
class PairHandset:
    """``token_sha256`` is the digest of a random token that only the phone keeps."""

    id: UUID
    site_id: UUID
    name: str
    token_sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RevokeHandset:
    """The phone is lost, sold or handed in: what it sends from now on is nobody's."""

    handset_id: UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPin:
    """``pin`` is hashed at once; neither it nor its hash enters the ledger of the site."""

    id: UUID
    site_id: UUID
    pin: str


@transaction.atomic(durable=True)
def pair_handset(command: PairHandset, *, by: Person, at: datetime) -> Handset:
    """Let a phone be shared at the site.

    Raises:
        NotFound, NotAllowed, IdTaken, HandsetNameMissing, NoToken
    """
    _site_for(by, command.site_id, deed="facility.pair-handset")
    if handset := earlier(Handset, command.id, asdict(command)):
        return handset
    if not command.name.strip():
        raise HandsetNameMissing("Give the phone a name that people see on it, such as Phone 2.")
    _require_new_token(command.token_sha256)
    handset = Handset.objects.create(**asdict(command), paired_at=at, paired_by=by)
    _record("facility.pair-handset", handset, by=by, at=at)
    return handset


@transaction.atomic(durable=True)
def revoke_handset(command: RevokeHandset, *, by: Person, at: datetime) -> Handset:
    """End a pairing; ended before, return it as it is.

    Raises:
        NotFound, NotAllowed
    """
    here = Handset.objects.filter(site__in=Site.objects.open_to(by)).select_related("site")
    handset = here.filter(pk=command.handset_id).first()
    if handset is None:
        raise NotFound("There is no such phone.")
    people.require(by, "facility.revoke-handset", handset.site)
    take_turn(handset.site)
    handset.refresh_from_db()
    if handset.revoked_at is not None:
        return handset
    handset.revoked_at = at
    handset.save(update_fields=["revoked_at"])
    _record("facility.revoke-handset", handset, by=by, at=at)
    return handset


@transaction.atomic(durable=True)
def set_pin(command: SetPin, *, by: Person, at: datetime) -> Pin:
    """Give oneself the PIN by which one takes over a shared phone.

    Raises:
        NotFound, NotAllowed, IdTaken, PinUnfit
    """
    site = _site_for(by, command.site_id, deed="facility.set-pin")
    if pin := _set_before(command, by):
        return pin
    if fault := fault_of(command.pin):
        raise PinUnfit(fault)
    secret = make_password(command.pin)
    pin = Pin.objects.create(id=command.id, person=by, secret=secret, set_at=at)
    ledger.record(
        # Its hash would be read back from the ledger: there are only so many PINs.
        "facility.set-pin",
        [],
        about=by,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
        pin=str(pin.pk),
    )
    return pin


def check_pin(person: Person, pin: str, *, on: Handset) -> None:
    """Let nobody take the phone over who does not know the person's PIN.

    Raises:
        TooManyTries, WrongPin
    """
    name = f"pin of {person.pk} on {on.pk}"
    if attempts.too_many(name):
        raise TooManyTries("Too many wrong PINs: wait 10 minutes, or sign in with your password.")
    held = pin_of(person)
    if held is None or not check_password(pin, held.secret):
        attempts.note_failure(name)
        raise WrongPin(f"This is not the PIN of {person.full_name}; enter it again.")
    attempts.forget(name)


def _site_for(by: Person, site_id: UUID, *, deed: str) -> Site:
    site = Site.objects.open_to(by).filter(pk=site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, deed, site)
    take_turn(site)
    return site


def _require_new_token(digest: str) -> None:
    if not _SHA256.fullmatch(digest):
        raise NoToken("Give the SHA-256 of the phone's token as 64 hexadecimal digits.")
    if Handset.objects.filter(token_sha256=digest).exists():
        raise NoToken("This token names a phone already; make a new one.")


def _set_before(command: SetPin, by: Person) -> Pin | None:
    pin = Pin.objects.filter(pk=command.id).first()
    if pin is None:
        return None
    if pin.person_id != by.pk or not check_password(command.pin, pin.secret):
        raise IdTaken(SAVED_OTHERWISE)
    return pin


def _record(kind: str, handset: Handset, *, by: Person, at: datetime) -> None:
    ledger.record(
        kind, [handset], about=handset, site=handset.site, by=by, happened_at=at, recorded_at=at
    )
