"""Open a site with its first manager, its start-up policy and its limits."""

import sys
from argparse import ArgumentParser
from getpass import getpass
from typing import Any
from uuid import uuid4

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from facility.commands.people import found_person
from facility.commands.places import OpenSite, open_site
from facility.models import Person, Site
from facility.refusals import Refusal
from tanks.commands.policies import AdoptDefaults, adopt_defaults

_ASKED = {
    "name": "Name of the site",
    "time_zone": "Time zone of the clock on its wall, such as Europe/Lisbon",
    "jurisdiction": "Whose rules apply there, such as PT, GB-SCT or US-TX",
    "username": "Sign-in name of its manager",
}
_OF_A_NEW_PERSON = {"full_name": "Full name of the manager", "initials": "Initials"}


class Command(BaseCommand):
    help = "Open a site, give it a manager, and adopt the shipped policy and limits."

    def add_arguments(self, parser: ArgumentParser) -> None:
        for option, words in (_ASKED | _OF_A_NEW_PERSON).items():
            parser.add_argument(f"--{option.replace('_', '-')}", help=words)
        parser.add_argument(
            "--password-stdin",
            action="store_true",
            help="Read the manager's password from standard input instead of asking for it.",
        )

    def handle(self, **options: Any) -> None:
        given = {option: _asked(options[option], words) for option, words in _ASKED.items()}
        _require_free_name(given["name"])
        manager = _known(given["username"]) or _founded(given["username"], options)
        site = _opened(given, manager)
        self.stdout.write(f"{site.name} is open; {manager.full_name} manages it.")


def _asked(value: str | None, words: str) -> str:
    answer = value if value is not None else input(f"{words}: ")
    if not answer.strip():
        raise CommandError(f"{words}: this cannot stay empty.")
    return answer.strip()


def _require_free_name(name: str) -> None:
    """Asked first, so that no account is made for a site that cannot be."""
    if Site.objects.filter(name=name).exists():
        raise CommandError(f"There is already a site named {name}.")


def _known(username: str) -> Person | None:
    return Person.objects.filter(username=username, is_active=True).first()


def _founded(username: str, options: dict[str, Any]) -> Person:
    names = {option: _asked(options[option], words) for option, words in _OF_A_NEW_PERSON.items()}
    password = _password(options)
    try:
        validate_password(password, user=Person(username=username, **names))
    except ValidationError as error:
        raise CommandError(" ".join(error.messages)) from error
    return found_person(username=username, password=password, **names)


def _password(options: dict[str, Any]) -> str:
    if options["password_stdin"]:
        return sys.stdin.readline().rstrip("\n")
    return getpass("Password of the manager: ")


def _opened(given: dict[str, str], manager: Person) -> Site:
    command = OpenSite(
        id=uuid4(),
        name=given["name"],
        time_zone=given["time_zone"],
        jurisdiction=given["jurisdiction"],
    )
    now = timezone.now()
    try:
        site = open_site(command, by=manager, at=now)
        adopt_defaults(AdoptDefaults(id=uuid4(), site_id=site.pk), by=manager, at=now)
    except Refusal as refusal:
        raise CommandError(refusal.sentence) from refusal
    return site
