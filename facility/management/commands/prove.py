from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from facility.models import Entry, Site
from facility.queries.ledger import head_digest
from facility.queries.proof import first_breach, unrecorded


class Command(BaseCommand):
    help = "Verify every site's ledger against itself and against the rows it speaks of."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--site", help="name of one site; all sites without it")

    def handle(self, *args: Any, **options: Any) -> None:
        sites = Site.objects.order_by("name")
        if options["site"]:
            sites = sites.filter(name=options["site"])
        if not sites:
            raise CommandError("There is no such site; leave --site out to prove all.")
        broken = [sentence for site in sites for sentence in self._prove(site)]
        broken += [f"No line of any ledger speaks of {key}." for key in unrecorded()]
        if broken:
            raise CommandError("\n".join(broken))

    def _prove(self, site: Site) -> list[str]:
        if breach := first_breach(site):
            return [f"{site.name}: the ledger is broken at line {breach.number}: {breach.sentence}"]
        count = Entry.objects.filter(site=site).count()
        self.stdout.write(f"{site.name}: {count} lines hold; head {head_digest(site)}")
        return []
