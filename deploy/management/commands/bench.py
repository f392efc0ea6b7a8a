"""``manage.py bench``: measure what the product computes; alone it lists the measurements."""

import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from deploy.bench.catalogue import BENCHES
from deploy.bench.options import CYCLES, MEMBERS, Options
from deploy.bench.startups import REHEARSAL_SEED, REPORTING_SEEDS


class Command(BaseCommand):
    help = "Score the start-up forecast, time the engine; without a name, list the benches."
    # Neither database nor settings of an installation are asked for anything.
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("name", nargs="?", help=f"one of: {', '.join(BENCHES)}")
        parser.add_argument("--json", action="store_true", help="answer in JSON")
        parser.add_argument("--cycles", type=int, default=CYCLES, help="how many start-ups")
        parser.add_argument(
            "--seed",
            type=int,
            default=REHEARSAL_SEED,
            help=f"which start-ups; for a report one of {REPORTING_SEEDS}, each used once",
        )
        parser.add_argument("--members", type=int, default=MEMBERS, help="of each ensemble")
        parser.add_argument("--workers", type=int, default=1, help="processes")

    def handle(self, *_: Any, **options: Any) -> None:
        if options["name"] is None:
            self.stdout.write("\n".join(f"{name}: {one.question}" for name, one in BENCHES.items()))
            return
        if options["name"] not in BENCHES:
            raise CommandError(
                f"name: {options['name']} is not a bench; choose one of {', '.join(BENCHES)}."
            )
        bench = BENCHES[options["name"]]
        found = bench.run(_asked(options))
        text = json.dumps(found, indent=1) if options["json"] else bench.shown(found)
        self.stdout.write(text)


def _asked(options: dict[str, Any]) -> Options:
    for name in ("cycles", "members", "workers"):
        if options[name] < 1:
            raise CommandError(f"--{name}: write a whole number from 1, not {options[name]}.")
    if options["seed"] < 0:
        raise CommandError(f"--seed: write a whole number from 0, not {options['seed']}.")
    return Options(**{name: options[name] for name in Options.__dataclass_fields__})
