import re
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from facility.models import Site
from facility.queries.ledger import head_digest, leaves
from facility.queries.proof import first_breach, unrecorded
from facility.rules.merkle import tree_head

_KEPT = re.compile(r"(?P<lines>[1-9][0-9]*):(?P<root>[0-9a-f]{64})")


class Command(BaseCommand):
    help = "Verify every site's ledger against itself and against the rows it speaks of."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--site", help="name of one site; all sites without it")
        parser.add_argument(
            "--kept",
            metavar="LINES:ROOT",
            help="a root that was written down earlier: those lines must still be the first",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        sites = Site.objects.order_by("name")
        if options["site"]:
            sites = sites.filter(name=options["site"])
        if not sites:
            raise CommandError("There is no such site; leave --site out to prove all.")
        if options["kept"] and len(sites) != 1:
            raise CommandError("A kept root belongs to one site; name it with --site.")
        broken = [sentence for site in sites for sentence in self._prove(site, options["kept"])]
        broken += [f"No line of any ledger speaks of {key}." for key in unrecorded()]
        if broken:
            raise CommandError("\n".join(broken))

    def _prove(self, site: Site, kept: str | None) -> list[str]:
        if breach := first_breach(site):
            return [f"{site.name}: the ledger is broken at line {breach.number}: {breach.sentence}"]
        told = leaves(site)
        if kept and (sentence := _grown_otherwise(told, kept)):
            return [f"{site.name}: {sentence}"]
        self.stdout.write(f"{site.name}: {len(told)} lines hold; head {head_digest(site)}")
        self.stdout.write(f"  to keep outside: {len(told)}:{tree_head(told).hex()}")
        return []


def _grown_otherwise(told: list[bytes], kept: str) -> str:
    """Say what is wrong with a root kept earlier; nothing when the ledger grew from it."""
    known = _KEPT.fullmatch(kept)
    if known is None:
        raise CommandError("Write --kept as LINES:ROOT, the way this command printed it.")
    count = int(known["lines"])
    if count > len(told):
        return f"{count} lines were here once; {len(told)} are left. The last ones were cut off."
    if tree_head(told[:count]).hex() != known["root"]:
        return f"the first {count} lines are not those the kept root was made from."
    return ""
