"""``manage.py demo``: load the invented facility once, and say how to look around in it."""

from argparse import ArgumentParser
from datetime import UTC, datetime
from typing import Any, Final

from django.core.management.base import BaseCommand

from deploy.demo_data import load
from deploy.demo_data.summary import summary

_ADDRESS: Final = "http://127.0.0.1:8000"


class Command(BaseCommand):
    help = "Load the demo facility unless it is there, and print its sign-ins and start-ups."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--address", default=_ADDRESS, help=f"where it answers ({_ADDRESS})")

    def handle(self, *_: Any, **options: Any) -> None:
        now = datetime.now(UTC)
        if not load.is_there():
            self.stdout.write("Loading the demo facility: eight weeks of an invented place …")
            self.stdout.flush()
            count = load.load(now=now)
            self.stdout.write(f"Loaded: {count} commands, each with its line in the ledger.")
        self.stdout.write(summary(address=options["address"], at=now))
