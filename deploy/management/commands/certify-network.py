"""``manage.py certify-network``: let phones on this network open Penstock over https."""

from argparse import ArgumentParser
from datetime import UTC, datetime
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from deploy.certificates import answers_to, fingerprint
from deploy.certified import Certified, NotCertified
from deploy.network import NotPrivate, private_address, private_name


class Command(BaseCommand):
    help = (
        "Make an authority of this house's own, once, and a certificate for this server. "
        "Run it again when the server's address changes, or once a year."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--name",
            action="append",
            default=[],
            help="a name that phones ask for, such as penstock.local; may be given again",
        )
        parser.add_argument(
            "--address",
            action="append",
            default=[],
            help="this machine's address, such as 192.168.1.20, besides those it finds itself",
        )

    def handle(self, *_: Any, **options: Any) -> None:
        kept = Certified(folder=settings.CERTIFICATES)
        try:
            server = kept.certify(
                names=[private_name(each) for each in options["name"]],
                addresses=[private_address(each) for each in options["address"]],
                at=datetime.now(UTC),
            )
            authority = kept.authority()
        except (NotPrivate, NotCertified) as refusal:
            raise CommandError(str(refusal)) from refusal
        names, addresses = answers_to(server.certificate)
        self.stdout.write(f"Server: {', '.join([*names, *map(str, addresses)])}")
        self.stdout.write(f"Until: {server.certificate.not_valid_after_utc:%d %B %Y}")
        if authority is not None:
            self.stdout.write("Authority, SHA-256, to compare on each phone:")
            self.stdout.write(f"  {fingerprint(authority.certificate)}")
        self.stdout.write(
            f"Keep {kept.authority_key_file} to yourself.\n"
            "Serve it with ./deploy/demo --https, then open /trust/ on each phone."
        )
