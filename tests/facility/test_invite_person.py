"""One person, one account; the password is hashed and never enters the ledger."""

from dataclasses import replace
from uuid import uuid4

import pytest

from facility.commands.people import (
    InvitePerson,
    PasswordUnfit,
    UnknownRole,
    UsernameTaken,
    invite_person,
)
from facility.models import Entry, Membership, Person
from facility.refusals import IdTaken, NotAllowed
from facility.rules.canonical import canonical_json
from tests.cast import NOON, PASSWORD, House


def _invitation(house: House) -> InvitePerson:
    return InvitePerson(
        id=uuid4(),
        site_id=house.site.pk,
        username="tove",
        full_name="Tove Marsh",
        initials="TM",
        role="STAFF",
        password=PASSWORD,
    )


def test_the_person_may_sign_in_and_the_ledger_does_not_know_how(house: House) -> None:
    membership = invite_person(_invitation(house), by=house.mo, at=NOON)

    assert membership.person.check_password(PASSWORD)
    assert PASSWORD not in canonical_json(Entry.objects.latest("pk").facts)
    assert membership.person.password not in canonical_json(Entry.objects.latest("pk").facts)


def test_delivered_twice_it_is_one_account(house: House) -> None:
    command = _invitation(house)
    membership = invite_person(command, by=house.mo, at=NOON)

    assert invite_person(command, by=house.mo, at=NOON) == membership
    with pytest.raises(IdTaken):
        invite_person(replace(command, role="MANAGER"), by=house.mo, at=NOON)
    with pytest.raises(IdTaken):
        invite_person(replace(command, id=house.bo.pk), by=house.mo, at=NOON)
    assert Membership.objects.filter(person=membership.person).count() == 1


def test_sign_in_names_roles_and_passwords_are_judged(house: House) -> None:
    command = _invitation(house)

    with pytest.raises(UsernameTaken):
        invite_person(replace(command, username="ana"), by=house.mo, at=NOON)
    with pytest.raises(UnknownRole):
        invite_person(replace(command, role="OWNER"), by=house.mo, at=NOON)
    for weak in ("", "tove", "password", "1234"):
        with pytest.raises(PasswordUnfit):
            invite_person(replace(command, password=weak), by=house.mo, at=NOON)
    assert not Person.objects.filter(username="tove").exists()


def test_only_a_manager_invites(house: House) -> None:
    for person in (house.ana, house.vera, house.hale):
        with pytest.raises(NotAllowed):
            invite_person(_invitation(house), by=person, at=NOON)
