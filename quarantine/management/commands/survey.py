"""``manage.py survey``: how many animals to test, and what a sample is worth."""

import json
from argparse import ArgumentParser
from typing import Any, Final

from django.core.management.base import BaseCommand, CommandError

from quarantine.rules.survey import LARGEST, Design
from quarantine.rules.survey_words import CAUTIONS, Rounds, as_plain, survey_told

_MOST_ROUNDS: Final = 100


class Command(BaseCommand):
    help = "Sample size to find a disease or parasite, exact, with imperfect tests. No database."
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--population", type=int, help="animals in all; left out: too many")
        parser.add_argument("--prevalence", type=float, required=True, help="share, such as 0.05")
        parser.add_argument("--confidence", type=float, default=0.95)
        parser.add_argument("--sensitivity", type=float, default=1.0)
        parser.add_argument("--specificity", type=float, default=1.0)
        parser.add_argument("--herd-specificity", type=float, default=0.95)
        parser.add_argument("--chosen", type=int, help="a sample size to be judged as well")
        parser.add_argument("--rounds", type=int, help="negative rounds in a row")
        parser.add_argument("--prior", type=float, default=0.5, help="how sure before the first")
        parser.add_argument("--introduction", type=float, default=0.0, help="chance between two")
        parser.add_argument("--json", action="store_true", help="answer in JSON")

    def handle(self, *_: Any, **options: Any) -> None:
        told = survey_told(_design(options), chosen_size=_chosen(options), rounds=_rounds(options))
        if options["json"]:
            self.stdout.write(json.dumps(as_plain(told), indent=1, ensure_ascii=False))
        else:
            self.stdout.write("\n".join((told.answer, *told.sentences, *CAUTIONS)))


def _design(options: dict[str, Any]) -> Design:
    for name in ("prevalence", "confidence", "sensitivity", "specificity", "herd_specificity"):
        if not 0 < options[name] <= 1:
            raise CommandError(f"--{name.replace('_', '-')} is a share, above 0 and up to 1.")
    if options["confidence"] == 1:
        raise CommandError("--confidence must be below 1: only testing all is certain.")
    if options["sensitivity"] + options["specificity"] <= 1:
        raise CommandError("--sensitivity and --specificity together must exceed 1.")
    population = options["population"]
    if population is not None and not 1 <= population <= LARGEST:
        raise CommandError(f"--population is from 1 to {LARGEST}.")
    return Design(
        population=population,
        prevalence=options["prevalence"],
        confidence=options["confidence"],
        sensitivity=options["sensitivity"],
        specificity=options["specificity"],
        herd_specificity=options["herd_specificity"],
    )


def _chosen(options: dict[str, Any]) -> int | None:
    chosen: int | None = options["chosen"]
    most = options["population"] or LARGEST
    if chosen is not None and not 1 <= chosen <= most:
        raise CommandError(f"--chosen is from 1 to {most}.")
    return chosen


def _rounds(options: dict[str, Any]) -> Rounds | None:
    if options["rounds"] is None:
        return None
    for name in ("prior", "introduction"):
        if not 0 <= options[name] <= 1:
            raise CommandError(f"--{name} is a share, from 0 to 1.")
    if not 1 <= options["rounds"] <= _MOST_ROUNDS:
        raise CommandError(f"--rounds is from 1 to {_MOST_ROUNDS}.")
    return Rounds(
        count=options["rounds"], prior=options["prior"], introduction=options["introduction"]
    )
