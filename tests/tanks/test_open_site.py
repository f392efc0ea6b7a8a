"""Opening the first site from the terminal. The rules are the house's own."""

import sys
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from facility.models import Membership, Person, Site
from tanks.models import Limit, Policy

GIVEN = {
    "name": "Weir Lane",
    "time_zone": "Europe/Lisbon",
    "jurisdiction": "PT",
    "username": "mo",
    "full_name": "Mo Tarrant",
    "initials": "MT",
    "password_stdin": True,
}

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _typed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", StringIO("heron-lantern-27\n"))


def test_first_site_has_a_manager_a_policy_and_limits() -> None:
    said = StringIO()

    call_command("open-site", stdout=said, **GIVEN)

    site = Site.objects.get()
    manager = Membership.objects.get(site=site)
    assert manager.role == "MANAGER"
    assert manager.person.check_password("heron-lantern-27")
    assert Policy.objects.filter(site=site).exists()
    assert Limit.objects.filter(site=site).exists()
    assert said.getvalue() == "Weir Lane is open; Mo Tarrant manages it.\n"


def test_second_site_goes_to_the_same_person_without_a_new_account() -> None:
    call_command("open-site", stdout=StringIO(), **GIVEN)

    call_command("open-site", stdout=StringIO(), **(GIVEN | {"name": "Mill Row"}))

    assert Person.objects.count() == 1
    assert Site.objects.count() == 2


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"time_zone": "Atlantis/Main"}, "Atlantis/Main is not a time zone"),
        ({"name": "  "}, "this cannot stay empty"),
        ({"initials": ""}, "this cannot stay empty"),
    ],
)
def test_bad_answers_get_one_sentence(changes: dict[str, object], sentence: str) -> None:
    with pytest.raises(CommandError, match=sentence):
        call_command("open-site", stdout=StringIO(), **(GIVEN | changes))
    assert not Site.objects.exists()


def test_weak_password_makes_no_account(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", StringIO("short\n"))

    with pytest.raises(CommandError, match="too short"):
        call_command("open-site", stdout=StringIO(), **GIVEN)
    assert not Person.objects.exists()


def test_name_that_is_taken_makes_no_account() -> None:
    call_command("open-site", stdout=StringIO(), **GIVEN)

    with pytest.raises(CommandError, match="already a site named Weir Lane"):
        call_command("open-site", stdout=StringIO(), **(GIVEN | {"username": "new"}))
    assert Person.objects.count() == 1
