"""Give people accounts and roles."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.models import Membership, Person, Site
from facility.queries import people
from facility.refusals import NotFound, Refusal


class UsernameTaken(Refusal):
    code = "username-taken"
    field = "username"


class UnknownRole(Refusal):
    code = "unknown-role"
    field = "role"


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
        NotFound, NotAllowed, UsernameTaken, UnknownRole
    """
    site = Site.objects.open_to(by).filter(pk=command.site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, "facility.invite-person", site)
    if membership := Membership.objects.filter(person_id=command.id, site=site).first():
        return membership
    if command.role not in Membership.Role.values:
        raise UnknownRole("Choose a role: manager, staff, auditor or veterinarian.")
    if Person.objects.filter(username=command.username).exists():
        raise UsernameTaken(f"The sign-in name {command.username} is taken; choose another.")
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


def _admit(command: InvitePerson, site: Site, at: datetime) -> Membership:
    person = Person(
        id=command.id,
        username=command.username,
        full_name=command.full_name,
        initials=command.initials,
    )
    person.set_password(command.password)
    person.save(force_insert=True)
    return Membership.objects.create(person=person, site=site, role=command.role, since=at)
