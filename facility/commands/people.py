"""Give people accounts and roles."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import SAVED_OTHERWISE, earlier, take_turn
from facility.models import Membership, Person, Site
from facility.queries import people
from facility.refusals import IdTaken, NotFound, Refusal


class UsernameTaken(Refusal):
    code = "username-taken"
    field = "username"


class UnknownRole(Refusal):
    code = "unknown-role"
    field = "role"


class PasswordUnfit(Refusal):
    code = "password-unfit"
    field = "password"


@dataclass(frozen=True, slots=True, kw_only=True)
class InvitePerson:
    """``password`` is hashed at once and never enters the ledger."""

    id: UUID
    site_id: UUID
    username: str
    full_name: str
    initials: str
    role: str
    password: str


class LastManager(Refusal):
    code = "last-manager"
    field = "membership_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class EndMembership:
    """The person leaves the site; the account and all it ever signed stay."""

    membership_id: UUID


def found_person(*, username: str, full_name: str, initials: str, password: str) -> Person:
    """The very first account of an empty house, before any site exists to record it."""
    person = Person(username=username, full_name=full_name, initials=initials)
    person.set_password(password)
    person.save(force_insert=True)
    return person


@transaction.atomic(durable=True)
def invite_person(command: InvitePerson, *, by: Person, at: datetime) -> Membership:
    """Make an account and give it a role at the site.

    Raises:
        NotFound, NotAllowed, IdTaken, UsernameTaken, UnknownRole, PasswordUnfit
    """
    site = Site.objects.open_to(by).filter(pk=command.site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, "facility.invite-person", site)
    if membership := _admitted(command, site):
        return membership
    if command.role not in Membership.Role.values:
        raise UnknownRole("Choose a role: manager, staff, auditor or veterinarian.")
    if Person.objects.filter(username=command.username).exists():
        raise UsernameTaken(f"The sign-in name {command.username} is taken; choose another.")
    _require_password(command)
    membership = _admit(command, site, at)
    ledger.record(
        "facility.invite-person",
        [membership],
        about=site,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
        username=command.username,
        full_name=command.full_name,
    )
    return membership


def _admitted(command: InvitePerson, site: Site) -> Membership | None:
    """Return what an earlier delivery gave."""
    person = earlier(Person, command.id, _account(command))
    if person is None:
        return None
    membership = Membership.objects.filter(person=person, site=site).first()
    if membership is None or membership.role != command.role:
        raise IdTaken(SAVED_OTHERWISE)
    return membership


def _require_password(command: InvitePerson) -> None:
    try:
        validate_password(command.password, Person(**_account(command)))
    except ValidationError as error:
        raise PasswordUnfit(" ".join(error.messages)) from error


def _admit(command: InvitePerson, site: Site, at: datetime) -> Membership:
    person = Person(id=command.id, **_account(command))
    person.set_password(command.password)
    person.save(force_insert=True)
    return Membership.objects.create(person=person, site=site, role=command.role, since=at)


def _account(command: InvitePerson) -> dict[str, Any]:
    return {
        "username": command.username,
        "full_name": command.full_name,
        "initials": command.initials,
    }


@transaction.atomic(durable=True)
def end_membership(command: EndMembership, *, by: Person, at: datetime) -> Membership:
    """Let a person leave a site; ended before, return it as it is.

    Raises:
        NotFound, NotAllowed, LastManager
    """
    here = Membership.objects.filter(site__in=Site.objects.open_to(by))
    membership = here.select_related("site").filter(pk=command.membership_id).first()
    if membership is None:
        raise NotFound("There is no such membership.")
    people.require(by, "facility.end-membership", membership.site)
    take_turn(membership.site)
    membership.refresh_from_db()
    if membership.until is not None:
        return membership
    _require_another_manager(membership)
    membership.until = at
    membership.save(update_fields=["until"])
    ledger.record(
        "facility.end-membership",
        [membership],
        about=membership.site,
        site=membership.site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return membership


def _require_another_manager(leaving: Membership) -> None:
    managers = Membership.objects.filter(
        site=leaving.site, role=Membership.Role.MANAGER, until=None
    )
    if not managers.exclude(pk=leaving.pk).exists():
        raise LastManager("A site needs a manager: give somebody else that role first.")
